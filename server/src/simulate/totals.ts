import { type Bounds, bounds, exact, join, type Known, larger } from '../placeholders/bounds.ts';
import type { Extent, Move } from './state.ts';
import type { Step, Totals } from './trace.ts';
import { type ShapeFrame, walk } from './tree.ts';

const ZERO = exact(0);

/**
 * Sums up a run: where it went, how far, how much filament, how long. Homing and waits for heat are not timed. Of
 * branches that exclude one another a job has one: the sums hold whichever it is, and never add them up.
 * `cut`: some steps repeat more often than they were run, so that the sums are not known.
 */
export function totalsOf(steps: readonly Step[], frames: readonly ShapeFrame[], cut: boolean): Totals {
  const tally = new Tally(ZERO, ZERO);
  fold(tally, steps, 0, steps.length, frames);
  const { extent, extruded, travel, extruding, filament, seconds } = tally;
  return {
    moves: tally.moves,
    extent: extent.known,
    extruded: extruded.known,
    travel: cut ? null : travel.known,
    extruding: cut ? null : extruding.known,
    filament: cut ? null : filament.known,
    seconds: cut ? null : seconds.known,
    hottest: { nozzle: tally.nozzle, bed: tally.bed },
    unplaced: tally.unplaced + (cut ? 1 : 0),
  };
}

function fold(tally: Tally, steps: readonly Step[], from: number, to: number, frames: readonly ShapeFrame[]): void {
  walk(from, to, frames, {
    step: (i) => tally.add(steps[i] as Step),
    turn: (turn) => fold(tally, steps, turn.from, turn.to, turn.inner),
    choice: ({ branches, mayBeLeftOut }) => {
      const each = branches.map(({ from, to, inner }) => {
        const branch = new Tally(tally.nozzle, tally.bed);
        fold(branch, steps, from, to, inner);
        return branch;
      });
      tally.either(mayBeLeftOut ? [...each, new Tally(tally.nozzle, tally.bed)] : each);
    },
  });
}

/** Sums of a stretch that grow in place, and how hot it has been up to its end. */
class Tally {
  readonly extent = new Hulls();
  readonly extruded = new Hulls();
  readonly travel = new Sum();
  readonly extruding = new Sum();
  readonly filament = new Sum();
  readonly seconds = new Sum();
  moves = 0;
  unplaced = 0;
  private seen: Step['after'] | null = null;

  constructor(
    public nozzle: Known,
    public bed: Known,
  ) {}

  add(step: Step): void {
    const { after, move } = step;
    this.seconds.add(step.seconds, true);
    // Nearly always nothing has changed about the heaters.
    if (this.seen?.nozzles !== after.nozzles || this.seen.bed !== after.bed) {
      this.nozzle = after.nozzles.reduce((hot: Known, heater) => larger(hot, heater.target), this.nozzle);
      this.bed = larger(this.bed, after.bed.target);
      this.seen = after;
    }
    if (!move || move.kind === 'home') return;
    this.moves++;
    this.filament.add(move.e, true);
    const { pushed, moves: axes } = move;
    const pushes = pushed === null || pushed.hi > 0;
    const goes = axes.x || axes.y || axes.z;
    const path = goes || pushes ? move.extent : null;
    const placed = !path || !goes || this.extent.include(path, move.from, axes);
    if ((path && pushes && !this.extruded.include(path, move.from, EVERY_AXIS)) || !placed) this.unplaced++;
    if (!goes) return;
    // A move that may or may not push filament counts towards both sums, from zero.
    const sure = pushed !== null && (pushed.lo > 0 || pushed.hi <= 0);
    const { length } = move;
    if (pushes) this.extruding.add(length, sure);
    if (!sure || !pushes) this.travel.add(length, sure);
  }

  /** Adds what one of these stretches has, whichever it is. */
  either(each: readonly Tally[]): void {
    const [first, ...rest] = each;
    if (!first) return;
    for (const { extent, extruded } of each) {
      this.extent.cover(extent);
      this.extruded.cover(extruded);
    }
    for (const key of ['travel', 'extruding', 'filament', 'seconds'] as const)
      this[key].either(each.map((t) => t[key]));
    this.moves += Math.max(...each.map((t) => t.moves));
    this.unplaced += Math.max(...each.map((t) => t.unplaced));
    this.nozzle = rest.reduce((hot, t) => join(hot, t.nozzle), first.nozzle);
    this.bed = rest.reduce((hot, t) => join(hot, t.bed), first.bed);
    this.seen = null;
  }
}

const EVERY_AXIS = { x: true, y: true, z: true };

/** A sum that grows in place. */
class Sum {
  private lo = 0;
  private hi = 0;
  private open = false;

  /** Adds a number; one that is not sure to count does so from zero. */
  add(b: Known, sure: boolean): void {
    if (!b) {
      this.open = true;
      return;
    }
    this.lo += sure ? b.lo : Math.min(0, b.lo);
    this.hi += sure ? b.hi : Math.max(0, b.hi);
  }

  /** Adds one of these sums, whichever it is. */
  either(each: readonly Sum[]): void {
    this.lo += Math.min(...each.map((sum) => sum.lo));
    this.hi += Math.max(...each.map((sum) => sum.hi));
    this.open ||= each.some((sum) => sum.open);
  }

  get known(): Known {
    return this.open ? null : bounds(this.lo, this.hi);
  }
}

/** The hull of one axis that grows in place. */
class Hull {
  private lo = Number.POSITIVE_INFINITY;
  private hi = Number.NEGATIVE_INFINITY;

  include({ lo, hi }: Bounds): void {
    if (lo < this.lo) this.lo = lo;
    if (hi > this.hi) this.hi = hi;
  }

  cover({ lo, hi }: Hull): void {
    this.include({ lo, hi });
  }

  /** null: nothing yet. */
  get known(): Bounds | null {
    return this.lo <= this.hi ? { lo: this.lo, hi: this.hi } : null;
  }
}

/** An extent that grows in place. */
class Hulls {
  private readonly x = new Hull();
  private readonly y = new Hull();
  private readonly z = new Hull();

  /** Adds a path; false where its place, or the way to it, is not known on one of these axes. */
  include(path: Move['extent'], from: Move['from'], axes: Move['moves']): boolean {
    const { x, y, z } = path;
    if (x) this.x.include(x);
    if (y) this.y.include(y);
    if (z) this.z.include(z);
    const open = (axes.x && !(x && from.x)) || (axes.y && !(y && from.y)) || (axes.z && !(z && from.z));
    return !open;
  }

  /** Adds all that another extent holds. */
  cover({ x, y, z }: Hulls): void {
    this.x.cover(x);
    this.y.cover(y);
    this.z.cover(z);
  }

  get known(): Extent {
    return { x: this.x.known, y: this.y.known, z: this.z.known };
  }
}

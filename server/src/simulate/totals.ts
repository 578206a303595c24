import { type Bounds, bounds, exact, join, type Known, larger } from '../placeholders/bounds.ts';
import type { Extent, Heater, Move } from './state.ts';
import type { Step, Totals } from './trace.ts';

const ZERO = exact(0);

/**
 * Sums up a run: where it went, how far, how much filament, how long. Homing and waits for heat are not timed.
 * `cut`: some steps repeat more often than they were run, so that the sums are not known.
 */
export function totalsOf(steps: readonly Step[], cut: boolean): Totals {
  const extent = new Hulls();
  const extruded = new Hulls();
  const [travel, extruding, filament, seconds] = [new Sum(cut), new Sum(cut), new Sum(cut), new Sum(cut)];
  let moves = 0;
  let unplaced = cut ? 1 : 0;
  let nozzle: Known = ZERO;
  let bed: Known = ZERO;
  let seen: Step | null = null;
  for (const step of steps) {
    const { after, certain, move } = step;
    seconds.add(step.seconds, certain);
    // Nearly always nothing has changed about the heaters.
    if (seen?.after.nozzles !== after.nozzles || seen.after.bed !== after.bed || seen.certain !== certain) {
      nozzle = after.nozzles.reduce((hot: Known, heater) => hottest(hot, heater, certain), nozzle);
      bed = hottest(bed, after.bed, certain);
      seen = step;
    }
    if (!move || move.kind === 'home') continue;
    moves++;
    filament.add(move.e, certain);
    const { pushed, moves: axes } = move;
    const pushes = pushed === null || pushed.hi > 0;
    const goes = axes.x || axes.y || axes.z;
    const path = goes || pushes ? move.extent : null;
    const placed = !path || !goes || extent.include(path, move.from, axes);
    if ((path && pushes && !extruded.include(path, move.from, EVERY_AXIS)) || !placed) unplaced++;
    if (goes) {
      // A move that may or may not push filament counts towards both sums, from zero.
      const sure = pushed !== null && (pushed.lo > 0 || pushed.hi <= 0);
      const { length } = move;
      if (pushes) extruding.add(length, certain && sure);
      if (!sure || !pushes) travel.add(length, certain && sure);
    }
  }
  return {
    moves,
    extent: extent.known,
    extruded: extruded.known,
    travel: travel.known,
    extruding: extruding.known,
    filament: filament.known,
    seconds: seconds.known,
    hottest: { nozzle, bed },
    unplaced,
  };
}

/** A step that only some jobs run makes it hotter in some jobs. */
function hottest(so: Known, heater: Heater, certain: boolean): Known {
  const hot = larger(so, heater.target);
  return certain ? hot : join(so, hot);
}

const EVERY_AXIS = { x: true, y: true, z: true };

/** A sum that grows in place. */
class Sum {
  private lo = 0;
  private hi = 0;

  constructor(private open: boolean) {}

  /** Adds a number; one that only some jobs have counts from zero. */
  add(b: Known, certain: boolean): void {
    if (!b) {
      this.open = true;
      return;
    }
    this.lo += certain ? b.lo : Math.min(0, b.lo);
    this.hi += certain ? b.hi : Math.max(0, b.hi);
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

  get known(): Extent {
    return { x: this.x.known, y: this.y.known, z: this.z.known };
  }
}

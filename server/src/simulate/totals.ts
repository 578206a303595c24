import { add, type Bounds, cover, exact, join, type Known, larger } from '../placeholders/bounds.ts';
import type { Heater, Move } from './state.ts';
import type { Step, Totals } from './trace.ts';

const ZERO = exact(0);

interface MutableExtent {
  x: Bounds | null;
  y: Bounds | null;
  z: Bounds | null;
}

/**
 * Sums up a run: where it went, how far, how much filament, how long. Homing and waits for heat are not timed.
 * `cut`: some steps repeat more often than they were run, so that the sums are not known.
 */
export function totalsOf(steps: readonly Step[], cut: boolean): Totals {
  const extent: MutableExtent = { x: null, y: null, z: null };
  const extruded: MutableExtent = { x: null, y: null, z: null };
  let moves = 0;
  const none: Known = cut ? null : ZERO;
  let unplaced = cut ? 1 : 0;
  let travel = none;
  let extruding = none;
  let filament = none;
  let seconds = none;
  let nozzle: Known = ZERO;
  let bed: Known = ZERO;
  for (const step of steps) {
    seconds = add(seconds, sometimes(step.seconds, step.certain));
    nozzle = step.after.nozzles.reduce((hot: Known, heater) => hottest(hot, heater, step.certain), nozzle);
    bed = hottest(bed, step.after.bed, step.certain);
    const { move } = step;
    if (!move || move.kind === 'home') continue;
    moves++;
    filament = add(filament, sometimes(move.e, step.certain));
    const pushes = move.pushed === null || move.pushed.hi > 0;
    const goes = move.moves.x || move.moves.y || move.moves.z;
    const placed = !goes || include(extent, move, move.moves);
    if ((pushes && !include(extruded, move, EVERY_AXIS)) || !placed) unplaced++;
    if (goes) {
      // A move that may or may not push filament counts towards both sums, from zero.
      const sure = move.pushed !== null && (move.pushed.lo > 0 || move.pushed.hi <= 0);
      const length = sometimes(move.length, step.certain && sure);
      if (pushes) extruding = add(extruding, length);
      if (!sure || !pushes) travel = add(travel, length);
    }
  }
  return {
    moves,
    extent,
    extruded,
    travel,
    extruding,
    filament,
    seconds,
    hottest: { nozzle, bed },
    unplaced,
  };
}

const sometimes = (b: Known, certain: boolean): Known =>
  certain || !b ? b : { lo: Math.min(0, b.lo), hi: Math.max(0, b.hi) };

/** A step that only some jobs run makes it hotter in some jobs. */
function hottest(so: Known, heater: Heater, certain: boolean): Known {
  const hot = larger(so, heater.target);
  return certain ? hot : join(so, hot);
}

const EVERY_AXIS = { x: true, y: true, z: true };

/** Adds a move to an extent; false where its place, or the way to it, is not known on one of these axes. */
function include(extent: MutableExtent, move: Move, axes: Move['moves']): boolean {
  const { extent: path, from } = move;
  let placed = true;
  for (const axis of ['x', 'y', 'z'] as const) {
    const seen = path[axis];
    if (seen) extent[axis] = cover(extent[axis], seen);
    if (axes[axis] && (!seen || !from[axis])) placed = false;
  }
  return placed;
}

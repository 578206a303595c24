import { add, type Bounds, cover, exact, type Known, larger, scale } from '../placeholders/bounds.ts';
import type { Extent, Heater } from './state.ts';
import type { Step, Totals } from './trace.ts';

const ZERO = exact(0);

interface MutableExtent {
  x: Bounds | null;
  y: Bounds | null;
  z: Bounds | null;
}

/** Sums up a run: where it went, how far, how much filament, how long. Homing and waits for heat are not timed. */
export function totalsOf(steps: readonly Step[]): Totals {
  const extent: MutableExtent = { x: null, y: null, z: null };
  const extruded: MutableExtent = { x: null, y: null, z: null };
  let moves = 0;
  let unplaced = 0;
  let travel: Known = ZERO;
  let extruding: Known = ZERO;
  let filament: Known = ZERO;
  let seconds: Known = ZERO;
  let nozzle: Known = ZERO;
  let bed: Known = ZERO;
  for (const step of steps) {
    seconds = add(seconds, sometimes(step.seconds, step.certain));
    nozzle = step.after.nozzles.reduce((hot: Known, heater) => hottest(hot, heater), nozzle);
    bed = hottest(bed, step.after.bed);
    const { move } = step;
    if (!move || move.kind === 'home') continue;
    moves++;
    filament = add(filament, sometimes(move.e, step.certain));
    const pushes = move.pushed === null || move.pushed.hi > 0;
    if (move.moves.x || move.moves.y || move.moves.z) {
      if (!include(extent, move.extent, move.moves)) unplaced++;
      // A move that may or may not push filament counts towards both sums, from zero.
      const sure = move.pushed !== null && (move.pushed.lo > 0 || move.pushed.hi <= 0);
      const length = sometimes(move.length, step.certain && sure);
      if (pushes) extruding = add(extruding, length);
      if (!sure || !pushes) travel = add(travel, length);
    }
    if (pushes) include(extruded, move.extent, { x: true, y: true, z: true });
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

const hottest = (so: Known, heater: Heater): Known => larger(so, heater.target && scale(heater.target, 1));

/** Adds a move to an extent; false where one of the axes that it moves has no known place. */
function include(
  extent: MutableExtent,
  move: Extent,
  axes: { readonly x: boolean; readonly y: boolean; readonly z: boolean },
): boolean {
  let placed = true;
  for (const axis of ['x', 'y', 'z'] as const) {
    const seen = move[axis];
    if (seen) extent[axis] = cover(extent[axis], seen);
    else if (axes[axis]) placed = false;
  }
  return placed;
}

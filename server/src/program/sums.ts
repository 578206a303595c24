import { isExact, type Known } from '../placeholders/bounds.ts';
import type { Heater, Move, State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { EMPTY } from './limits.ts';
import { Slot } from './slots.ts';
import { inStore } from './store.ts';

/** Sums over the moves so far. NaN: not known any more. Extents are empty while their low end is above their high one. */
export interface Sums {
  moves: number;
  unplaced: number;
  travel: number;
  extruding: number;
  filament: number;
  seconds: number;
  rising: number;
  /** Low and high of x, y, z: where the nozzle goes, then where it extrudes. */
  readonly box: Float64Array;
  readonly extruded: Float64Array;
  nozzle: number;
  bed: number;
  chamber: number;
  /** Filament of each tool, mm; -1: a tool that is not known. */
  readonly tools: Map<number, number>;
  readonly layers: Layers;
}

/** Heights at which level lines are extruded, in the order in which they came first. */
export interface Layers {
  last: number;
  readonly heights: Map<number, number>;
}

/** More heights than this are counted no further: a wave is no layer. */
const MOST_HEIGHTS = 20_000;

const { moves, unplaced, travel, extruding, used, seconds, rising, nozzle, bed, chamber, lastHeight } = Slot;
const PLACES = { moves, unplaced, travel, extruding, filament: used, seconds, rising, nozzle, bed, chamber };

/** @param numbers Where its numbers are kept, see `slots.ts`. */
export function newSums(numbers: Float64Array): Sums {
  const box = numbers.subarray(Slot.boxX0, Slot.boxX0 + 6);
  const extruded = numbers.subarray(Slot.extrudedX0, Slot.extrudedX0 + 6);
  box.set(EMPTY);
  extruded.set(EMPTY);
  const layers: Layers = inStore(numbers, { last: lastHeight }, { heights: new Map<number, number>() });
  layers.last = Number.NaN;
  return inStore(numbers, PLACES, { box, extruded, tools: new Map<number, number>(), layers });
}

/** Counts a level line at a height (machine coordinates, mm). */
export function countHeight(layers: Layers, z: number): void {
  layers.last = z;
  // What is printed and what is reckoned from steps differ in the last digits.
  const height = Math.round(z * 1e5) / 1e5;
  const times = layers.heights.get(height);
  if (times !== undefined || layers.heights.size < MOST_HEIGHTS) layers.heights.set(height, (times ?? 0) + 1);
}

const number = (b: Known): number => (b && b.lo === b.hi ? b.lo : Number.NaN);
const AXES = ['x', 'y', 'z'] as const;

/** Adds what a command did: as `totalsOf` of the simulator has it. */
export function addStep(sums: Sums, step: Step): void {
  const { move, after } = step;
  sums.seconds += number(step.seconds);
  sums.nozzle = after.nozzles.reduce((hot, heater) => hotter(hot, heater), sums.nozzle);
  sums.bed = hotter(sums.bed, after.bed);
  sums.chamber = hotter(sums.chamber, after.chamber);
  if (move && move.kind !== 'home') addMove(sums, move, after);
}

/** Adds a move of a text's own, all but its time. */
export function addMove(sums: Sums, move: Move, after: State): void {
  sums.moves++;
  const e = number(move.e);
  sums.filament += e;
  const pushes = move.pushed === null || move.pushed.hi > 0;
  // Worked out anew each time that a move is asked for them.
  const { extent, from, moves } = move;
  const goes = moves.x || moves.y || moves.z;
  let placed = !goes || include(sums.box, extent, from, moves);
  if (pushes && !include(sums.extruded, extent, from, EVERY_AXIS)) placed = false;
  if (!placed) sums.unplaced++;
  if (e !== 0) addFilament(sums, after, e);
  if (!goes) return;
  // A move that may or may not push filament leaves both sums open.
  const sure = move.pushed !== null && (move.pushed.lo > 0 || move.pushed.hi <= 0);
  const length = number(move.length);
  const counted = sure || length === 0 ? length : Number.NaN;
  if (pushes) sums.extruding += counted;
  if (!sure || !pushes) sums.travel += counted;
  if (!pushes || !(moves.x || moves.y)) return;
  if (moves.z) sums.rising++;
  else if (isExact(move.to.z)) countHeight(sums.layers, move.to.z.lo);
}

const EVERY_AXIS = { x: true, y: true, z: true };

/** Adds filament to the tool in use. */
export function addFilament(sums: Sums, { tool }: State, e: number): void {
  const key = tool ?? -1;
  sums.tools.set(key, (sums.tools.get(key) ?? 0) + e);
}

function hotter(so: number, { target }: Heater): number {
  return Number.isNaN(so) || target === null ? Number.NaN : Math.max(so, target.hi);
}

function include(
  box: Float64Array,
  extent: Move['extent'],
  from: Move['from'],
  axes: { x: boolean; y: boolean; z: boolean },
): boolean {
  let placed = true;
  for (let i = 0; i < AXES.length; i++) {
    const axis = AXES[i] as (typeof AXES)[number];
    const seen = extent[axis];
    if (seen) {
      box[2 * i] = Math.min(box[2 * i] as number, seen.lo);
      box[2 * i + 1] = Math.max(box[2 * i + 1] as number, seen.hi);
    }
    if (axes[axis] && (!seen || !from[axis])) placed = false;
  }
  return placed;
}

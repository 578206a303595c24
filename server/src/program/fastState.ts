import type { Machine } from '../machine/machine.ts';
import { exact, isExact, type Known } from '../placeholders/bounds.ts';
import { afterMove } from '../simulate/afterMove.ts';
import type { State } from '../simulate/state.ts';
import { mayExtrude, mayMove, type Told } from './told.ts';

/**
 * The state as plain numbers, while every fact that a plain move needs is exact. All else is in `modes`, which no plain
 * move changes. Lengths mm in program coordinates, feed mm/min; NaN: no feed given yet.
 */
export interface FastState {
  modes: State;
  motion: string | null;
  x: number;
  y: number;
  z: number;
  e: number;
  /** Machine position less program position. */
  ox: number;
  oy: number;
  oz: number;
  feed: number;
  retracted: number;
  unit: number;
  speedFactor: number;
  flowFactor: number;
  relative: boolean;
  relativeE: boolean;
  /** Filament may be moved without a rule having something new to say of heat. */
  extrudes: boolean;
  /** Arcs lie in the XY plane, and the machine understands them. */
  arcs: boolean;
  /** Of the line that comes next, counted from 1. */
  line: number;
  fastLines: number;
  longest: number;
  longestLine: number;
  filament: number;
  /** The last move that extruded along a line: its line, where that begins (bytes), and the state behind it. */
  pushLine: number;
  pushStart: number;
  px: number;
  py: number;
  pz: number;
  pe: number;
  pf: number;
  pushModes: State | null;
  /** Lines extruded on end since something last broke them up, and where the first of them is: see `body.ts`. */
  group: number;
  groupLine: number;
  groupStart: number;
  groupZ: number;
}

/** Minus zero, which an engine keeps as a fraction from the first: a whole number that becomes one costs it dear. */
const ZERO = -0;

export const newFastState = (start: State): FastState => ({
  modes: start,
  motion: null,
  x: ZERO,
  y: ZERO,
  z: ZERO,
  e: ZERO,
  ox: ZERO,
  oy: ZERO,
  oz: ZERO,
  feed: Number.NaN,
  retracted: ZERO,
  unit: 1,
  speedFactor: 1,
  flowFactor: 1,
  relative: false,
  relativeE: false,
  extrudes: false,
  arcs: false,
  line: 1,
  fastLines: 0,
  longest: 0,
  longestLine: 1,
  filament: ZERO,
  pushLine: 0,
  pushStart: 0,
  px: ZERO,
  py: ZERO,
  pz: ZERO,
  pe: ZERO,
  pf: Number.NaN,
  pushModes: null,
  group: 0,
  groupLine: 0,
  groupStart: 0,
  groupZ: ZERO,
});

/** Takes a state over; false where it is not known exactly enough for plain moves. */
export function enter(fast: FastState, state: State, told: Told, machine: Machine | null): boolean {
  const { at, offset, feed, retracted, speedFactor, flowFactor, unit } = state;
  const exactly = (...all: Known[]): boolean => all.every(isExact);
  if (!exactly(at.x, at.y, at.z, at.e, offset.x, offset.y, offset.z, retracted, speedFactor, flowFactor, unit))
    return false;
  if (state.stopped !== false || state.inverseFeed !== false || state.relative === null || state.relativeE === null)
    return false;
  if (feed ? !isExact(feed) || feed.lo <= 0 : !told.feed) return false;
  if (!mayMove(told, state) || (speedFactor?.lo ?? 0) <= 0) return false;
  const n = (known: Known): number => known?.lo ?? Number.NaN;
  fast.modes = state;
  fast.motion = state.motion;
  fast.x = n(at.x);
  fast.y = n(at.y);
  fast.z = n(at.z);
  fast.e = n(at.e);
  fast.ox = n(offset.x);
  fast.oy = n(offset.y);
  fast.oz = n(offset.z);
  fast.feed = n(feed);
  fast.retracted = n(retracted);
  fast.unit = unit.lo;
  fast.speedFactor = n(speedFactor);
  fast.flowFactor = n(flowFactor);
  fast.relative = state.relative;
  fast.relativeE = state.relativeE;
  fast.arcs = state.plane === 'xy' && machine?.controller.arcs !== false;
  fast.extrudes = mayExtrude(told, state, machine);
  return true;
}

const known = (n: number): Known => (Number.isNaN(n) ? null : exact(n));

/** The numbers as a state of the simulator. */
export function leave(fast: FastState): State {
  const at = { x: exact(fast.x), y: exact(fast.y), z: exact(fast.z), e: exact(fast.e) };
  return afterMove(fast.modes, at, fast.motion, known(fast.feed), exact(fast.retracted));
}

/** The state behind the last move that extruded along a line; null where none did. */
export function afterLastPush(fast: FastState): State | null {
  if (!fast.pushModes) return null;
  const at = { x: exact(fast.px), y: exact(fast.py), z: exact(fast.pz), e: exact(fast.pe) };
  return afterMove(fast.pushModes, at, 'G1', known(fast.pf), exact(0));
}

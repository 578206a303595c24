import type { Machine } from '../machine/machine.ts';
import { add, exact, isExact, type Known } from '../placeholders/bounds.ts';
import { afterMove, whole } from '../simulate/afterMove.ts';
import type { State } from '../simulate/state.ts';
import { CONTINUES, Slot } from './slots.ts';
import { inStore } from './store.ts';
import { mayExtrude, mayMove, type ToldSoFar } from './told.ts';

/**
 * The state as plain numbers, while every fact that a plain move needs is exact. All else is in `modes`, which no plain
 * move changes. Lengths mm in program coordinates, feed mm/min; NaN: no feed given yet.
 */
export interface FastState {
  modes: State;
  motion: string | null;
  /** The one that words alone stand for, see `Piece`. */
  wordsMove: string | null;
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

const { x, y, z, e, ox, oy, oz, feed, retracted, unit, speedFactor, flowFactor } = Slot;
const { line, fastLines, longest, longestLine, filament } = Slot;
const { pushLine, pushStart, px, py, pz, pe, pf, group, groupLine, groupStart, groupZ } = Slot;
const PLACES = {
  ...{ x, y, z, e, ox, oy, oz, feed, retracted, unit, speedFactor, flowFactor },
  ...{ line, fastLines, longest, longestLine, filament },
  ...{ pushLine, pushStart, px, py, pz, pe, pf, group, groupLine, groupStart, groupZ },
};

/** @param numbers Where its numbers are kept, see `slots.ts`. */
export function newFastState(numbers: Float64Array, start: State): FastState {
  const fast: FastState = inStore(numbers, PLACES, {
    modes: start,
    motion: null,
    wordsMove: null,
    relative: false,
    relativeE: false,
    extrudes: false,
    arcs: false,
    pushModes: null,
  });
  fast.feed = Number.NaN;
  fast.unit = 1;
  fast.speedFactor = 1;
  fast.flowFactor = 1;
  fast.line = 1;
  fast.longestLine = 1;
  fast.pf = Number.NaN;
  return fast;
}

/** Takes a state over; false where it is not known exactly enough for plain moves. */
export function enter(fast: FastState, state: State, told: ToldSoFar, machine: Machine | null): boolean {
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

/** `G92 E0`: what E reads from here on. It may prepare the print. */
export function zeroE(fast: FastState): void {
  const { offset } = fast.modes;
  fast.modes = { ...whole(fast.modes), offset: { ...offset, e: add(exact(fast.e), offset.e) } };
  fast.e = 0;
  if (fast.group < CONTINUES) fast.group = 0;
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

import {
  absolute,
  add,
  type Bounds,
  bounds,
  exact,
  hullOf,
  isExact,
  join,
  type Known,
  larger,
  multiply,
  scale,
  subtract,
} from '../placeholders/bounds.ts';
import { afterMove } from './afterMove.ts';
import { arcExtent, arcLength, arcTolerance, readArc } from './arc.ts';
import { type Reader, read } from './context.ts';
import type { Arc, Move, State } from './state.ts';
import { moveTime } from './time.ts';

/** What a motion command does: the state after it and the move itself. */
export interface Moved {
  readonly state: State;
  readonly move: Move;
}

type Axis = 'x' | 'y' | 'z';
const WORD = { x: 'X', y: 'Y', z: 'Z', e: 'E' } as const;
const ZERO = exact(0);

/** A length word in mm. */
export const inMm = (word: Known, { unit }: State): Known =>
  unit.lo === 1 && unit.hi === 1 ? word : multiply(word, unit);

interface Target {
  readonly at: Known;
  readonly delta: Known;
  readonly given: boolean;
}

/** Where one axis goes. In a distance mode that is not known both readings are joined. */
function target(reader: Reader, state: State, axis: Axis | 'e', inMachine: boolean): Target {
  const word = read(reader, WORD[axis]);
  const at = state.at[axis];
  if (word === undefined) return { at, delta: ZERO, given: false };
  const value = inMm(word, state);
  if (inMachine && axis !== 'e') {
    const to = subtract(value, state.offset[axis]);
    return { at: to, delta: subtract(to, at), given: true };
  }
  const relative = axis === 'e' ? state.relativeE : state.relative;
  if (relative) return { at: add(at, value), delta: value, given: true };
  if (relative === false) return { at: value, delta: subtract(value, at), given: true };
  return { at: join(value, add(at, value)), delta: join(subtract(value, at), value), given: true };
}

/** What kind of path a motion command takes. */
export interface Motion {
  readonly kind: 'line' | 'arc' | 'curve';
  readonly rapid: boolean;
  readonly clockwise: boolean;
}

/** Runs G0 to G3 and curves. `inMachine`: G53 stands on the line. `code` stays in force as the motion. */
export function runMotion(reader: Reader, state: State, motion: Motion, inMachine: boolean, code: string): Moved {
  const { kind } = motion;
  const x = target(reader, state, 'x', inMachine);
  const y = target(reader, state, 'y', inMachine);
  const z = target(reader, state, 'z', inMachine);
  const e = target(reader, state, 'e', false);
  const feed = feedAfter(reader, state);
  const filament = feedFilament(state.retracted, e.delta);
  const at = { x: x.at, y: y.at, z: z.at, e: e.at };
  const after = afterMove(state, at, code, feed, filament.retracted);
  const path = kind === 'arc' ? arcPath(reader, state, after, { x, y, z }, motion.clockwise) : null;
  const length = path ? path.length : straightLength(x.delta, y.delta, z.delta);
  const speed = speedOf(reader, state, feed, length, x.delta, y.delta, z.delta, e.delta);
  const acceleration = reader.prepared.machine?.acceleration ?? null;
  const seconds = state.inverseFeed && feed ? inverse(feed) : moveTime(travelOf(length, e.delta), speed, acceleration);
  // An arc moves both axes of its plane, also a full circle without words for its end.
  const round = kind === 'arc' ? state.plane : undefined;
  const turns = (other: State['plane']): boolean => round !== undefined && round !== other;
  const flags =
    (turns('yz') || moves(x) ? 1 : 0) + (turns('zx') || moves(y) ? 2 : 0) + (turns('xy') || moves(z) ? 4 : 0);
  const made: Made = {
    rapid: motion.rapid,
    length,
    e: e.delta,
    pushed: filament.pushed,
    feed: perMinute(speed, feed),
    seconds,
    moves: movedAxes(flags),
  };
  if (kind === 'line') return { state: after, move: new LineMove(state, after, made) };
  return { state: after, move: new CurvedMove(kind, state, after, made, path) };
}

/** What is known of a move besides its path. */
type Made = Pick<Move, 'rapid' | 'length' | 'e' | 'pushed' | 'feed' | 'seconds' | 'moves'>;

/** mm/min from mm/s; where nothing slowed the move, the feed itself, which all moves at that feed share. */
function perMinute(speed: Known, feed: Known): Known {
  if (!speed || !feed) return null;
  // Equal ends are not the same number in every job, so what the feed hangs on is left out.
  if (!feed.form && speed.lo === feed.lo / 60 && speed.hi === feed.hi / 60) return feed;
  return { lo: speed.lo * 60, hi: speed.hi * 60 };
}

/** A straight move. Its path follows from the states before and behind it. */
export class LineMove implements Move {
  readonly kind = 'line';
  readonly arc = null;
  readonly arcFault = null;
  readonly rapid: boolean;
  readonly length: Known;
  readonly e: Known;
  readonly pushed: Known;
  readonly feed: Known;
  readonly seconds: Known;
  readonly moves: Move['moves'];

  constructor(
    readonly before: State,
    readonly after: State,
    made: Made,
  ) {
    this.rapid = made.rapid;
    this.length = made.length;
    this.e = made.e;
    this.pushed = made.pushed;
    this.feed = made.feed;
    this.seconds = made.seconds;
    this.moves = made.moves;
  }

  get from(): Move['from'] {
    return machinePosition(this.before);
  }

  get to(): Move['to'] {
    return machinePosition(this.after);
  }

  get extent(): Move['extent'] {
    return lineExtent(this.from, this.to);
  }
}

/** The eight answers to "which axes move", shared by all moves. */
const MOVED = Array.from({ length: 8 }, (_, i) => Object.freeze({ x: (i & 1) > 0, y: (i & 2) > 0, z: (i & 4) > 0 }));

/** Which axes move: 1 for X, 2 for Y and 4 for Z, added up. Higher bits do not count. */
export const movedAxes = (flags: number): Move['moves'] => MOVED[flags & 7] as Move['moves'];

/** An arc or another curve. */
class CurvedMove implements Move {
  readonly rapid: boolean;
  readonly from: Move['from'];
  readonly to: Move['to'];
  readonly extent: Move['extent'];
  readonly arc: Arc | null;
  readonly arcFault: string | null;
  readonly length: Known;
  readonly e: Known;
  readonly pushed: Known;
  readonly feed: Known;
  readonly seconds: Known;
  readonly moves: Move['moves'];

  constructor(
    readonly kind: 'arc' | 'curve',
    before: State,
    after: State,
    made: Made,
    path: ArcPath | null,
  ) {
    this.rapid = made.rapid;
    this.from = machinePosition(before);
    this.to = machinePosition(after);
    this.extent = path?.extent ?? NOWHERE;
    this.arc = path?.arc ?? null;
    this.arcFault = path?.fault ?? null;
    this.length = made.length;
    this.e = made.e;
    this.pushed = made.pushed;
    this.feed = made.feed;
    this.seconds = made.seconds;
    this.moves = made.moves;
  }
}

const NOWHERE = { x: null, y: null, z: null };
const isZero = (b: Known): boolean => b !== null && b.lo === 0 && b.hi === 0;
const moves = (t: Target): boolean => t.given && !isZero(t.delta);
/** G93: F is one over minutes (NISTIR 6556 3.5.19). */
const inverse = (feed: Bounds): Known => (feed.lo > 0 ? bounds(60 / feed.hi, 60 / feed.lo) : null);

/** How far F counts: the path, or the filament where the nozzle stands still. */
function travelOf(length: Known, e: Known): Known {
  if (!length || length.lo > 0) return length;
  const filament = absolute(e);
  return length.hi > 0 ? join(length, filament) : filament;
}

/** Whether an offset of X, Y or Z is in force, or may be. */
export const isShifted = ({ offset }: State): boolean => !(isZero(offset.x) && isZero(offset.y) && isZero(offset.z));

/** Machine position, mm: what the axes read plus the offset in force. */
export function machinePosition(state: State): { readonly x: Known; readonly y: Known; readonly z: Known } {
  const { at, offset } = state;
  if (!isShifted(state)) return at;
  return { x: add(at.x, offset.x), y: add(at.y, offset.y), z: add(at.z, offset.z) };
}

/** F in mm/min; it stays in force until the next one. In G93 it is 1/min and holds for its own line only. */
export function feedAfter(reader: Reader, state: State): Known {
  const word = read(reader, 'F');
  if (state.inverseFeed === null) return null;
  if (word === undefined) return state.inverseFeed ? null : state.feed;
  return state.inverseFeed ? word : inMm(word, state);
}

function straightLength(x: Known, y: Known, z: Known): Known {
  if (!x || !y || !z) return null;
  const [a, b, c] = [absolute(x) ?? ZERO, absolute(y) ?? ZERO, absolute(z) ?? ZERO];
  return { lo: Math.hypot(a.lo, b.lo, c.lo), hi: Math.hypot(a.hi, b.hi, c.hi) };
}

/** Hull of both ends; where the start is not known, the end alone is what can be said. */
export const spanned = (a: Known, b: Known): Known => (a && b ? hullOf(a, b) : b);
/** The hull of a straight way. */
export const lineExtent = (from: Move['from'], to: Move['to']): Move['extent'] => ({
  x: spanned(from.x, to.x),
  y: spanned(from.y, to.y),
  z: spanned(from.z, to.z),
});

/** Filament pushed out of the nozzle, once what was pulled back has been made good. */
export function feedFilament(retracted: Known, e: Known): { readonly retracted: Known; readonly pushed: Known } {
  if (!e || !retracted)
    return { retracted: e && e.lo === 0 && e.hi === 0 ? retracted : null, pushed: isZero(e) ? ZERO : null };
  const left = subtract(retracted, e);
  return { retracted: larger(ZERO, left), pushed: larger(ZERO, scale(left, -1)) };
}

/** mm/s after the machine's limits. An axis with a limit slows the whole move (common practice, no source). */
function speedOf(
  reader: Reader,
  state: State,
  feed: Known,
  length: Known,
  x: Known,
  y: Known,
  z: Known,
  e: Known,
): Known {
  const factor = state.speedFactor;
  if (!feed || !factor || state.inverseFeed !== false) return null;
  // A feed or factor below zero means nothing; zero is kept, as a move that never ends.
  let lo = (Math.max(0, feed.lo) / 60) * Math.max(0, factor.lo);
  let hi = (Math.max(0, feed.hi) / 60) * Math.max(0, factor.hi);
  const limits = reader.prepared.machine?.speed;
  if (!limits) return { lo, hi };
  const path = travelOf(length, e) ?? ANY_LENGTH;
  const limit = (most: number | null, delta: Known, floor: number): void => {
    if (most === null || isZero(delta)) return;
    const far = delta ? Math.max(Math.abs(delta.lo), Math.abs(delta.hi)) : Number.POSITIVE_INFINITY;
    const near = delta ? least(delta) : 0;
    // The share of the path that this axis makes lies between near/path.hi and far/path.lo.
    const atMost = near > 0 ? (most * path.hi) / near : Number.POSITIVE_INFINITY;
    const atLeast = path.lo > 0 ? (most * path.lo) / far : 0;
    lo = Math.min(lo, Math.max(floor, atLeast), atMost);
    hi = Math.min(hi, atMost);
  };
  // X, Y and Z make no more than the whole path, whatever the bounds leave open; filament may.
  limit(limits.x, x, limits.x ?? 0);
  limit(limits.y, y, limits.y ?? 0);
  limit(limits.z, z, limits.z ?? 0);
  limit(limits.e, e, 0);
  return { lo, hi };
}

const ANY_LENGTH: Bounds = { lo: 0, hi: Number.POSITIVE_INFINITY };

interface ArcPath {
  readonly arc: Arc | null;
  readonly fault: string | null;
  readonly length: Known;
  readonly extent: Move['extent'];
}

const PLANES = { xy: ['x', 'y', 'z'], zx: ['z', 'x', 'y'], yz: ['y', 'z', 'x'] } as const;
const OFFSET_WORD = { x: 'I', y: 'J', z: 'K' } as const;

/** The path of G2 or G3: exact where its words are, else hulls that hold every arc that they could mean. */
function arcPath(
  reader: Reader,
  before: State,
  after: State,
  given: { readonly x: Target; readonly y: Target; readonly z: Target },
  clockwise: boolean,
): ArcPath {
  const nothing: ArcPath = { arc: null, fault: null, length: null, extent: NOWHERE };
  if (!before.plane) return nothing;
  const [a, b, c] = PLANES[before.plane];
  const { unit } = before;
  const offsets = [a, b].map((axis) => read(reader, OFFSET_WORD[axis])) as [Known | undefined, Known | undefined];
  const radius = read(reader, 'R');
  if (offsets[0] === undefined && offsets[1] === undefined && radius === undefined) {
    const [first, second] = [OFFSET_WORD[a], OFFSET_WORD[b]];
    const fault = `The arc has no centre and no radius. Give ${first} and ${second} (from the start to the centre), or R.`;
    return { ...nothing, fault, extent: lineExtent(machinePosition(before), machinePosition(after)) };
  }
  const start: [Known, Known] = [before.at[a], before.at[b]];
  const end: [Known, Known] = [after.at[a], after.at[b]];
  const known = [
    start[0],
    start[1],
    end[0],
    end[1],
    ...offsets.filter((o) => o !== undefined),
    ...(radius === undefined ? [] : [radius]),
    unit,
  ];
  if (!known.every((k) => isExact(k ?? null))) {
    return { ...nothing, extent: arcHull(before, after, [a, b, c], offsets, radius, unit) };
  }
  const mmOf = (k: Known | undefined): number | null => (k ? k.lo * unit.lo : null);
  const from = [start[0]?.lo ?? 0, start[1]?.lo ?? 0] as const;
  const to = [end[0]?.lo ?? 0, end[1]?.lo ?? 0] as const;
  const result = readArc({
    from,
    to,
    offset: [mmOf(offsets[0]), mmOf(offsets[1])],
    radius: mmOf(radius),
    clockwise,
    tolerance: arcTolerance(before.inches === true),
    plane: before.plane,
  });
  if ('fault' in result)
    return { ...nothing, fault: result.fault, extent: lineExtent(machinePosition(before), machinePosition(after)) };
  const arc = result.arc;
  const [alongA, alongB] = arcExtent(arc, from, to);
  const shift = [before.offset[a], before.offset[b]] as const;
  const machine = machinePosition(before);
  const machineEnd = machinePosition(after);
  const extent: Record<Axis, Known> = { x: null, y: null, z: null };
  extent[a] = add({ lo: alongA[0], hi: alongA[1] }, shift[0]);
  extent[b] = add({ lo: alongB[0], hi: alongB[1] }, shift[1]);
  extent[c] = spanned(machine[c], machineEnd[c]);
  const rise = given[c].delta;
  const length =
    rise && bounds(arcLength(arc, least(rise)), arcLength(arc, Math.max(Math.abs(rise.lo), Math.abs(rise.hi))));
  const inMachine = isExact(shift[0]) && isExact(shift[1]);
  return {
    arc: inMachine ? { ...arc, centre: [arc.centre[0] + shift[0].lo, arc.centre[1] + shift[1].lo] } : null,
    fault: null,
    length,
    extent,
  };
}

const least = (b: Bounds): number => (b.lo <= 0 && b.hi >= 0 ? 0 : Math.min(Math.abs(b.lo), Math.abs(b.hi)));

/** Hull of an arc that is not exact: centre and radius within bounds, and both ends, which an arc with a fault joins. */
function arcHull(
  before: State,
  after: State,
  [a, b, c]: readonly [Axis, Axis, Axis],
  offsets: readonly [Known | undefined, Known | undefined],
  radius: Known | undefined,
  unit: Bounds,
): Move['extent'] {
  const from = machinePosition(before);
  const to = machinePosition(after);
  const extent: Record<Axis, Known> = { x: null, y: null, z: null };
  extent[c] = spanned(from[c], to[c]);
  const withEnd = (arc: Known, axis: Axis): Known => (arc && to[axis] ? join(arc, to[axis]) : null);
  if (radius !== undefined) {
    const most = absolute(multiply(radius, unit));
    if (!most) return extent;
    const across = 2 * most.hi;
    for (const axis of [a, b]) extent[axis] = withEnd(add(from[axis], { lo: -across, hi: across }), axis);
    return extent;
  }
  const i = offsets[0] === undefined ? ZERO : multiply(offsets[0], unit);
  const j = offsets[1] === undefined ? ZERO : multiply(offsets[1], unit);
  if (!i || !j) return extent;
  const reach = Math.hypot(absolute(i)?.hi ?? 0, absolute(j)?.hi ?? 0);
  // The start is on the circle whatever the words say.
  const start = (axis: Axis, centre: Known): Known => join(from[axis], add(centre, { lo: -reach, hi: reach }));
  extent[a] = withEnd(start(a, add(from[a], i)), a);
  extent[b] = withEnd(start(b, add(from[b], j)), b);
  return extent;
}

import {
  absolute,
  add,
  type Bounds,
  bounds,
  exact,
  isExact,
  join,
  type Known,
  larger,
  scale,
  subtract,
} from '../placeholders/bounds.ts';
import { arcExtent, arcLength, readArc } from './arc.ts';
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
export const INCH = 25.4; // mm, exactly (international yard and pound agreement, 1959)
const ZERO = exact(0);

/** mm per unit of a length word. Units that were never stated count as mm: what a printer has after power-on. */
export const unitOf = (state: State): number => (state.inches ? INCH : 1);

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
  const value = scale(word, unitOf(state));
  if (inMachine && axis !== 'e') {
    const to = subtract(value, state.offset[axis]);
    return { at: to, delta: subtract(to, at), given: true };
  }
  const relative = axis === 'e' ? state.relativeE : state.relative;
  if (relative) return { at: add(at, value), delta: value, given: true };
  if (relative === false) return { at: value, delta: subtract(value, at), given: true };
  return { at: join(value, add(at, value)), delta: join(subtract(value, at), value), given: true };
}

/** Runs G0 to G3 and curves. `inMachine`: G53 stands on the line. */
export function runMotion(
  reader: Reader,
  state: State,
  kind: 'line' | 'arc' | 'curve',
  how: { readonly rapid: boolean; readonly clockwise: boolean; readonly inMachine: boolean; readonly code: string },
): Moved {
  const x = target(reader, state, 'x', how.inMachine);
  const y = target(reader, state, 'y', how.inMachine);
  const z = target(reader, state, 'z', how.inMachine);
  const e = target(reader, state, 'e', false);
  const feed = feedAfter(reader, state);
  const filament = feedFilament(state.retracted, e.delta);
  const at = { x: x.at, y: y.at, z: z.at, e: e.at };
  const after: State = { ...state, at, motion: how.code, feed, retracted: filament.retracted };
  const from = machinePosition(state);
  const to = machinePosition(after);
  const path = kind === 'arc' ? arcPath(reader, state, after, { x, y, z }, how.clockwise) : null;
  const length = path ? path.length : straightLength(x.delta, y.delta, z.delta);
  const speed = speedOf(reader, state, feed, length, x.delta, y.delta, z.delta, e.delta);
  const travelled = isZero(length) ? absolute(e.delta) : length;
  const acceleration = reader.prepared.machine?.acceleration ?? null;
  const seconds = state.inverseFeed && feed ? inverse(feed) : moveTime(travelled, speed, acceleration);
  const moved = movedAxes(moves(x), moves(y), moves(z));
  const line = new LineMove(how.rapid, from, to, length, e.delta, filament.pushed, perMinute(speed, feed), seconds, moved);
  if (kind === 'line') return { state: after, move: line };
  const extent = path?.extent ?? NOWHERE;
  return { state: after, move: { ...line, kind, extent, arc: path?.arc ?? null, arcFault: path?.fault ?? null } };
}

/** mm/min from mm/s; where nothing slowed the move, the feed itself, which all moves at that feed share. */
function perMinute(speed: Known, feed: Known): Known {
  if (!speed || !feed) return null;
  if (speed.lo === feed.lo / 60 && speed.hi === feed.hi / 60) return feed;
  return { lo: speed.lo * 60, hi: speed.hi * 60 };
}

/** A straight move. Its extent follows from its ends, so a long program does not keep it for every line. */
class LineMove implements Move {
  readonly kind = 'line';
  readonly arc = null;
  readonly arcFault = null;
  constructor(
    readonly rapid: boolean,
    readonly from: Move['from'],
    readonly to: Move['to'],
    readonly length: Known,
    readonly e: Known,
    readonly pushed: Known,
    readonly feed: Known,
    readonly seconds: Known,
    readonly moves: Move['moves'],
  ) {}

  get extent(): Move['extent'] {
    return lineExtent(this.from, this.to);
  }
}

/** The eight answers to "which axes move", shared by all moves. */
const MOVED = Array.from({ length: 8 }, (_, i) => Object.freeze({ x: (i & 1) > 0, y: (i & 2) > 0, z: (i & 4) > 0 }));
const movedAxes = (x: boolean, y: boolean, z: boolean): Move['moves'] =>
  MOVED[(x ? 1 : 0) + (y ? 2 : 0) + (z ? 4 : 0)] ?? { x, y, z };

const NOWHERE = { x: null, y: null, z: null };
const isZero = (b: Known): boolean => b !== null && b.lo === 0 && b.hi === 0;
const moves = (t: Target): boolean => t.given && !isZero(t.delta);
/** G93: F is one over minutes (NISTIR 6556 3.5.19). */
const inverse = (feed: Bounds): Known => (feed.lo > 0 ? bounds(60 / feed.hi, 60 / feed.lo) : null);

/** Machine position, mm: what the axes read plus the offset in force. */
export function machinePosition(state: State): { readonly x: Known; readonly y: Known; readonly z: Known } {
  const { at, offset } = state;
  if (isZero(offset.x) && isZero(offset.y) && isZero(offset.z)) return at;
  return { x: add(at.x, offset.x), y: add(at.y, offset.y), z: add(at.z, offset.z) };
}

/** F in mm/min; it stays in force until the next one. In G93 it is 1/min and holds for its own line only. */
export function feedAfter(reader: Reader, state: State): Known {
  const word = read(reader, 'F');
  if (word === undefined) return state.inverseFeed ? null : state.feed;
  return state.inverseFeed ? word : scale(word, unitOf(state));
}

function straightLength(x: Known, y: Known, z: Known): Known {
  if (!x || !y || !z) return null;
  const [a, b, c] = [absolute(x) ?? ZERO, absolute(y) ?? ZERO, absolute(z) ?? ZERO];
  return { lo: Math.hypot(a.lo, b.lo, c.lo), hi: Math.hypot(a.hi, b.hi, c.hi) };
}

/** Hull of both ends; where the start is not known, the end alone is what can be said. */
const spanned = (a: Known, b: Known): Known => (a && b ? join(a, b) : b);
const lineExtent = (from: Move['from'], to: Move['to']): Move['extent'] => ({
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
  if (!feed || !factor || state.inverseFeed) return null;
  let lo = (feed.lo / 60) * factor.lo;
  let hi = (feed.hi / 60) * factor.hi;
  const limits = reader.prepared.machine?.speed;
  if (!limits || !length) return { lo, hi };
  const along = absolute(e);
  const path = length.hi > 0 ? length : (along ?? length);
  const limit = (most: number | null, delta: Known): void => {
    if (most === null || !delta || (delta.lo === 0 && delta.hi === 0)) return;
    const far = Math.max(Math.abs(delta.lo), Math.abs(delta.hi));
    const near = least(delta);
    // The share of the path that this axis makes lies between near/path.hi and far/path.lo.
    const atMost = near > 0 ? (most * path.hi) / near : Number.POSITIVE_INFINITY;
    const atLeast = path.lo > 0 ? (most * path.lo) / far : most;
    lo = Math.min(lo, atLeast, atMost);
    hi = Math.min(hi, atMost);
  };
  limit(limits.x, x);
  limit(limits.y, y);
  limit(limits.z, z);
  limit(limits.e, e);
  return { lo, hi };
}

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
  const unit = unitOf(before);
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
  ];
  if (!known.every((k) => isExact(k ?? null))) {
    return { ...nothing, extent: arcHull(before, after, [a, b, c], offsets, radius, unit) };
  }
  const mmOf = (k: Known | undefined): number | null => (k ? k.lo * unit : null);
  const from = [start[0]?.lo ?? 0, start[1]?.lo ?? 0] as const;
  const to = [end[0]?.lo ?? 0, end[1]?.lo ?? 0] as const;
  const result = readArc({
    from,
    to,
    offset: [mmOf(offsets[0]), mmOf(offsets[1])],
    radius: mmOf(radius),
    clockwise,
    tolerance: before.inches ? 0.0002 * INCH : 0.002,
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

/** Hull of an arc that is not exact: centre and radius within bounds. */
function arcHull(
  before: State,
  after: State,
  [a, b, c]: readonly [Axis, Axis, Axis],
  offsets: readonly [Known | undefined, Known | undefined],
  radius: Known | undefined,
  unit: number,
): Move['extent'] {
  const from = machinePosition(before);
  const to = machinePosition(after);
  const extent: Record<Axis, Known> = { x: null, y: null, z: null };
  extent[c] = spanned(from[c], to[c]);
  if (radius) {
    const across = 2 * unit * Math.max(Math.abs(radius.lo), Math.abs(radius.hi));
    for (const axis of [a, b]) extent[axis] = add(from[axis], { lo: -across, hi: across });
    return extent;
  }
  const i = offsets[0] === undefined ? ZERO : scale(offsets[0], unit);
  const j = offsets[1] === undefined ? ZERO : scale(offsets[1], unit);
  if (!i || !j) return extent;
  const reach = Math.hypot(Math.max(Math.abs(i.lo), Math.abs(i.hi)), Math.max(Math.abs(j.lo), Math.abs(j.hi)));
  extent[a] = add(add(from[a], i), { lo: -reach, hi: reach });
  extent[b] = add(add(from[b], j), { lo: -reach, hi: reach });
  return extent;
}

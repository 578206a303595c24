import type { Machine } from '../machine/machine.ts';
import { exact, type Known } from '../placeholders/bounds.ts';
import { arcExtent, arcLength, readArc } from '../simulate/arc.ts';
import { filamentArea } from '../simulate/bead.ts';
import type { Arc, Move } from '../simulate/state.ts';
import { moveSeconds } from '../simulate/time.ts';
import { arcTolerance } from './arcPath.ts';
import type { FastState } from './fastState.ts';
import type { MoveLimits } from './limits.ts';
import type { MoveFacts } from './suspect.ts';
import type { Words } from './words.ts';

/** A plain line that has been read, with all that it does: nothing of it has been counted yet. */
export interface Plain {
  readonly move: Move;
  readonly about: MoveFacts;
  readonly code: string;
  /** Program coordinates behind it. */
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly e: number;
  readonly feed: number;
  readonly retracted: number;
  readonly seconds: number;
  /** mm3/s; 0: nothing is pushed; NaN: not known. */
  readonly flow: number;
}

/**
 * Reads a plain line and works out its move, exactly as the simulator has it; null where the line is anything but plain.
 * G0 and G1 that scanning did not take, and arcs in the XY plane, by their centre or their radius.
 */
export function readPlain(
  fast: FastState,
  limits: MoveLimits,
  machine: Machine | null,
  { g, values, given }: Words,
): Plain | null {
  const word = (key: number): number | undefined => ((given & (1 << key)) === 0 ? undefined : values[key]);
  const isArc = g > 1;
  if (
    isArc
      ? fast.modes.plane !== 'xy' || machine?.controller.arcs === false
      : word(5) !== undefined || word(6) !== undefined || word(7) !== undefined
  )
    return null;
  const { unit } = fast;
  const target = (key: number, at: number, relative: boolean): [number, number] => {
    const given = word(key);
    if (given === undefined) return [at, 0];
    const value = given * unit;
    return relative ? [at + value, value] : [value, value - at];
  };
  const [x, dx] = target(0, fast.x, fast.relative);
  const [y, dy] = target(1, fast.y, fast.relative);
  const [z, dz] = target(2, fast.z, fast.relative);
  const [e, de] = target(3, fast.e, fast.relativeE);
  const f = word(4);
  if (f !== undefined && f <= 0) return null;
  if (given === 1 << 4) return null;
  if (de !== 0 && !fast.extrudes) return null;
  const feed = f === undefined ? fast.feed : f * unit;
  const rest = fast.retracted - de;
  const pushed = de !== 0 && rest < 0 ? -rest : 0;
  const retracted = de === 0 ? fast.retracted : Math.max(0, rest);
  const [from, to] = [
    { x: exact(fast.x + fast.ox), y: exact(fast.y + fast.oy), z: exact(fast.z + fast.oz) },
    { x: exact(x + fast.ox), y: exact(y + fast.oy), z: exact(z + fast.oz) },
  ];
  const path = isArc ? pathOf(fast, [word(5), word(6), word(7)], x, y, g === 2) : null;
  // What is said of an arc that is none is told before its length is asked for.
  const length = path === null ? Math.hypot(dx, dy, dz) : 'fault' in path ? Number.NaN : arcLength(path.arc, dz);
  const way = length === 0 ? Math.abs(de) : length;
  const speed = slowed((feed / 60) * fast.speedFactor, limits, way, dx, dy, dz, de);
  const seconds = Number.isNaN(speed) ? speed : moveSeconds(way, speed, limits.acceleration);
  const flow =
    pushed > 0 && machine ? ((pushed * filamentArea(machine.filament.diameter) * fast.flowFactor) / way) * speed : 0;
  const move: Move = {
    kind: isArc ? 'arc' : 'line',
    rapid: g === 0,
    from,
    to,
    extent:
      path && 'arc' in path
        ? { ...path.extent, z: span(fast.z + fast.oz, z + fast.oz) }
        : { x: span(from.x.lo, to.x.lo), y: span(from.y.lo, to.y.lo), z: span(from.z.lo, to.z.lo) },
    arc: path && 'arc' in path ? path.moved : null,
    arcFault: path && 'fault' in path ? path.fault : null,
    length: known(length),
    e: exact(de),
    pushed: exact(pushed),
    feed: null,
    seconds: known(seconds),
    moves: { x: isArc || dx !== 0, y: isArc || dy !== 0, z: dz !== 0 },
  };
  const about: MoveFacts = {
    namesF: f !== undefined,
    feed,
    retractedBefore: fast.retracted,
    retractedAfter: retracted,
  };
  return { move, about, code: `G${g}`, x, y, z, e, feed, retracted, seconds, flow };
}

const known = (n: number): Known => (Number.isNaN(n) ? null : exact(n));
const span = (a: number, b: number): { lo: number; hi: number } => ({ lo: Math.min(a, b), hi: Math.max(a, b) });

/** An axis with a limit slows the whole move. */
function slowed(
  speed: number,
  { speed: top }: MoveLimits,
  way: number,
  dx: number,
  dy: number,
  dz: number,
  de: number,
): number {
  let s = speed;
  for (const [delta, most] of [
    [dx, top.x],
    [dy, top.y],
    [dz, top.z],
    [de, top.e],
  ] as const)
    if (Math.abs(delta) * s > most * way) s = (most * way) / Math.abs(delta);
  return s;
}

interface Path {
  /** In program coordinates. */
  readonly arc: Arc;
  /** In machine coordinates. */
  readonly moved: Arc;
  readonly extent: { readonly x: { lo: number; hi: number }; readonly y: { lo: number; hi: number } };
}

/** The path of an arc by its words I, J and R. */
function pathOf(
  fast: FastState,
  [i, j, r]: readonly (number | undefined)[],
  x: number,
  y: number,
  clockwise: boolean,
): Path | { readonly fault: string } {
  if (i === undefined && j === undefined && r === undefined) return { fault: NO_CENTRE };
  const from = [fast.x, fast.y] as const;
  const to = [x, y] as const;
  const { unit, ox, oy } = fast;
  const inMm = (n: number | undefined): number | null => (n === undefined ? null : n * unit);
  const found = readArc({
    from,
    to,
    offset: [inMm(i), inMm(j)],
    radius: inMm(r),
    clockwise,
    tolerance: arcTolerance(fast.modes.inches === true),
    plane: 'xy',
  });
  if ('fault' in found) return found;
  const { arc } = found;
  const [alongX, alongY] = arcExtent(arc, from, to);
  return {
    arc,
    moved: { ...arc, centre: [arc.centre[0] + ox, arc.centre[1] + oy] },
    extent: { x: { lo: alongX[0] + ox, hi: alongX[1] + ox }, y: { lo: alongY[0] + oy, hi: alongY[1] + oy } },
  };
}

/** Only counted: the words that are shown are the simulator's. */
const NO_CENTRE = 'no centre';

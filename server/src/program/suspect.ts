import { arcMeetsBox, boxMeetsBox, segmentMeetsBox } from '../geometry/geometry.ts';
import { placeOutside } from '../geometry/outside.ts';
import { isConvex } from '../geometry/polygon.ts';
import type { Area, Machine } from '../machine/machine.ts';
import { exact } from '../placeholders/bounds.ts';
import { BLOB } from '../rules/blob.ts';
import { FASTEST, LONG as LONG_WAY, SLOWEST } from '../rules/feedMmS.ts';
import { LONG as LONG_RETRACTION } from '../rules/longRetraction.ts';
import { halfBead } from '../rules/offBed.ts';
import { areaExcess, endOf } from '../rules/place.ts';
import type { Move } from '../simulate/state.ts';

/** How often each rule has something to say of one move; index by `SUSPECTS`. */
export type Hits = number[];

/** Rules that judge a move by its numbers alone, so that they can be counted without reading the line again. */
export const SUSPECTS = [
  'beyond-reach',
  'below-bed',
  'off-bed',
  'in-keep-out',
  'feed-mm-s',
  'long-retraction',
  'blob',
  'bad-arc',
] as const;

/** What else than its path a move is judged by. */
export interface MoveFacts {
  readonly namesF: boolean;
  /** mm/min. */
  readonly feed: number;
  readonly retractedBefore: number;
  readonly retractedAfter: number;
}

const TOLERANCE = 1e-6;

/** The rules' own conditions for an exact move, as numbers. */
export function hitsOf(machine: Machine | null, move: Move, about: MoveFacts): Hits {
  const { to, moves, pushed } = move;
  const z = to.z?.lo ?? 0;
  const push = pushed?.lo ?? 0;
  const far = (move.length?.lo ?? 0) > LONG_WAY;
  const slow = about.namesF && about.feed >= SLOWEST && about.feed <= FASTEST;
  const pulls = (move.e?.lo ?? 0) < 0;
  const isLong = about.retractedAfter > LONG_RETRACTION && !(about.retractedBefore > LONG_RETRACTION);
  const noBottom = (machine?.reach?.bottom ?? null) === null;
  return [
    machine ? beyond(machine, move) : 0,
    noBottom && moves.z && z < -TOLERANCE ? 1 : 0,
    machine?.bed && push > 0 ? beside(machine, machine.bed, move) : 0,
    machine ? machine.keepOut.filter((box) => meets(move, box)).length : 0,
    slow && far && (moves.x || moves.y) ? 1 : 0,
    pulls && isLong ? 1 : 0,
    push > BLOB && move.length?.lo === 0 && isOver(machine?.bed ?? null, move) ? 1 : 0,
    move.arcFault ? 1 : 0,
  ];
}

function beyond(machine: Machine, move: Move): number {
  const area = machine.reach ?? machine.bed;
  if (!area) return 0;
  const isArc = move.kind === 'arc';
  let hits = 0;
  const axis = (name: 'x' | 'y' | 'z', low: number | null, high: number | null): void => {
    const place = isArc ? move.extent[name] : move.to[name];
    if (!place || !(move.moves[name] || (isArc && name !== 'z'))) return;
    if (low !== null && low - place.lo > TOLERANCE) hits++;
    if (high !== null && place.hi - high > TOLERANCE) hits++;
  };
  axis('z', machine.reach?.bottom ?? null, machine.reach?.top ?? null);
  if (area.shape === 'rectangle') {
    axis('x', area.left, area.right);
    axis('y', area.front, area.back);
  } else if (move.moves.x || move.moves.y || isArc) {
    if (pathExcess(area, move) > TOLERANCE) hits++;
  }
  return hits;
}

/** As `beyond-reach` follows the path of a move. */
function pathExcess(area: Area, move: Move): number {
  const { from } = move;
  if (move.kind !== 'line') return areaExcess(area, move)?.most ?? 0;
  const hollow = area.shape === 'polygon' && !isConvex(area.points);
  const out = placeOutside(area, from.x?.lo ?? 0, from.y?.lo ?? 0).over > TOLERANCE;
  return areaExcess(area, hollow && !out ? move : endOf(move))?.most ?? 0;
}

function beside(machine: Machine, bed: Area, move: Move): number {
  const half = halfBead(move, machine);
  if (bed.shape !== 'rectangle') return (areaExcess(bed, move)?.most ?? 0) + half > TOLERANCE ? 1 : 0;
  const { x, y } = move.extent;
  if (!x || !y) return 0;
  const past = [bed.left - x.lo, x.hi - bed.right, bed.front - y.lo, y.hi - bed.back];
  return past.filter((by) => by + half > TOLERANCE).length;
}

function meets(move: Move, box: Machine['keepOut'][number]): boolean {
  const from = { x: move.from.x?.lo ?? 0, y: move.from.y?.lo ?? 0, z: move.from.z?.lo ?? 0 };
  const to = { x: move.to.x?.lo ?? 0, y: move.to.y?.lo ?? 0, z: move.to.z?.lo ?? 0 };
  if (boxMeetsBox({ x: exact(from.x), y: exact(from.y), z: exact(from.z) }, box) === 'always') return false;
  if (move.arc) return arcMeetsBox(move.arc, [from.z, to.z], box) !== null;
  return segmentMeetsBox(from, to, box) !== null;
}

function isOver(bed: Area | null, move: Move): boolean {
  return bed === null || (areaExcess(bed, move)?.most ?? 1) <= 0;
}

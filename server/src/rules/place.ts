import { arcOutside, type Farthest, outside, placeOutside, segmentOutside } from '../machine/geometry.ts';
import type { Area } from '../machine/machine.ts';
import { isExact } from '../placeholders/bounds.ts';
import type { Move } from '../simulate/state.ts';
import { num } from './say.ts';

/** How far a move goes outside an area. */
export interface Excess {
  /** mm past the limit in every run, and in the worst one. 0 or less: inside. */
  readonly least: number;
  readonly most: number;
  /** "X 75 Y 70": the place that is farthest outside. */
  readonly where: string;
  /** "rim (radius 90)", "back (220)", "outline". */
  readonly edge: string;
  /** That place is where an exact straight move begins, and not where it ends. */
  readonly begins: boolean;
}

/** How far the path of a move goes outside an area; null where its place is not known. Exact moves are followed whole. */
export function areaExcess(area: Area, move: Move): Excess | null {
  const { from, to, arc } = move;
  if (arc && arc.plane === 'xy') return excess(arcOutside(area, arc));
  if (move.kind === 'line' && isExact(to.x) && isExact(to.y)) {
    const end = { x: to.x.lo, y: to.y.lo };
    if (isExact(from.x) && isExact(from.y)) {
      const [start, far] = [{ x: from.x.lo, y: from.y.lo }, segmentOutside(area, { x: from.x.lo, y: from.y.lo }, end)];
      const begins = far.at.x === start.x && far.at.y === start.y && (end.x !== start.x || end.y !== start.y);
      return { ...excess(far), begins };
    }
    return excess(placeOutside(area, end.x, end.y));
  }
  const { x, y } = move.extent;
  if (!x || !y || !to.x || !to.y) return null;
  const most = outside(area, { x, y });
  return { ...excess({ ...most, over: most.most }), least: outside(area, { x: to.x, y: to.y }).least };
}

function excess(far: Farthest): Excess {
  return {
    least: far.over,
    most: far.over,
    where: `X ${num(far.at.x)} Y ${num(far.at.y)}`,
    edge:
      far.side === 'rim'
        ? `rim (radius ${num(far.limit ?? 0)})`
        : far.side === 'edge'
          ? 'outline'
          : `${far.side} (${num(far.limit ?? 0)})`,
    begins: false,
  };
}

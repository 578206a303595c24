import { arcOutside, type Farthest, outside, type Point, placeOutside, segmentOutside } from '../geometry/geometry.ts';
import type { Area } from '../machine/machine.ts';
import { type Bounds, isExact } from '../placeholders/bounds.ts';
import type { Arc, Move } from '../simulate/state.ts';
import { num } from './say.ts';

/** How far a move goes outside an area. */
export interface Excess {
  /** mm past the limit in every run, and in the worst one. 0 or less: inside. */
  readonly least: number;
  readonly most: number;
  /** "X 75 Y 70": the place that is farthest outside. */
  readonly where: string;
  /** "rim (radius 87)", "back (196)", "outline". */
  readonly edge: string;
  /** That place is where an exact straight move begins, and not where it ends. */
  readonly begins: boolean;
}

/** What of a move says where it goes. */
type Path = Pick<Move, 'kind' | 'from' | 'to' | 'extent' | 'arc'>;

/** The end of a straight move, as a path of its own. */
export const endOf = ({ kind, to, arc }: Move): Path => ({ kind, from: to, to, extent: to, arc });

/** How far the path of a move goes outside an area; null where its place is not known. Exact moves are followed whole. */
export function areaExcess(area: Area, move: Path): Excess | null {
  const { from, to, arc } = move;
  if (arc && arc.plane === 'xy') return excess(arcFarInside(area, arc) ?? arcOutside(area, arc));
  if (move.kind === 'line' && isExact(to.x) && isExact(to.y)) {
    const end = { x: to.x.lo, y: to.y.lo };
    if (isExact(from.x) && isExact(from.y)) {
      const start = { x: from.x.lo, y: from.y.lo };
      const far = farInside(area, start, end) ?? segmentOutside(area, start, end);
      const begins = far.at.x === start.x && far.at.y === start.y && (end.x !== start.x || end.y !== start.y);
      return { ...excess(far), begins };
    }
    if (!from.x || !from.y) return excess(placeOutside(area, end.x, end.y));
  }
  const { x, y } = move.extent;
  if (!x || !y || !to.x || !to.y) return null;
  return { ...excess(farthestOf(area, { x, y })), least: leastOf(area, { x: to.x, y: to.y }) };
}

interface Box {
  readonly x: Bounds;
  readonly y: Bounds;
}

const SHARES = [0, 0.25, 0.5, 0.75, 1];

/** Places spread over a box, its corners and its middle among them; none where it is open. */
function samples(area: Area, { x, y }: Box): readonly Farthest[] {
  if (![x.lo, x.hi, y.lo, y.hi].every(Number.isFinite)) return [];
  return SHARES.flatMap((i) =>
    SHARES.map((j) => placeOutside(area, x.lo + (x.hi - x.lo) * i, y.lo + (y.hi - y.lo) * j)),
  );
}

/** The place of a box that is farthest outside. In an outline any that is outside will do: no search is needed. */
function farthestOf(area: Area, box: Box): Farthest {
  if (area.shape === 'polygon') {
    const worst = samples(area, box).reduce<Farthest | undefined>((a, b) => (a && a.over >= b.over ? a : b), undefined);
    // No place of the box is farther from a sample than half a mesh's diagonal.
    const mesh = Math.hypot(box.x.hi - box.x.lo, box.y.hi - box.y.lo) / 8;
    if (worst && (worst.over > 0 || worst.over + mesh < -WELL_INSIDE)) return worst;
  }
  const most = outside(area, box);
  return { ...most, over: most.most };
}

/** How far outside every place of a box is at least; 0 or less as soon as one is found that is inside. */
function leastOf(area: Area, box: Box): number {
  const inside = area.shape === 'polygon' ? samples(area, box).find((place) => place.over <= -WELL_INSIDE) : undefined;
  return inside ? inside.over : outside(area, box).least;
}

/** The middle of an arc's circle, where the whole circle is far inside an outline; else null. */
function arcFarInside(area: Area, { centre, radius }: Arc): Farthest | null {
  if (area.shape !== 'polygon') return null;
  const middle = placeOutside(area, centre[0], centre[1]);
  return middle.over + radius < -WELL_INSIDE ? { ...middle, over: middle.over + radius } : null;
}

/** No place that far inside needs a search, whatever bead is laid there. mm. */
const WELL_INSIDE = 5;

/** The end nearer to the outline, where both are so far inside that no place between them can come near it; else null. */
function farInside(area: Area, a: Point, b: Point): Farthest | null {
  if (area.shape !== 'polygon') return null;
  const [first, second] = [placeOutside(area, a.x, a.y), placeOutside(area, b.x, b.y)];
  // The distance to the outline changes by at most the way.
  const could = (first.over + second.over + Math.hypot(b.x - a.x, b.y - a.y)) / 2;
  return could > -WELL_INSIDE ? null : first.over > second.over ? first : second;
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

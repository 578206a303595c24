import type { Area } from '../machine/machine.ts';
import type { Bounds } from '../placeholders/bounds.ts';
import { hull, type Point } from './area.ts';
import { mostOn, pop, push } from './farthest.ts';
import { isConvex, signedDistance } from './polygon.ts';

/** Which limit a place passes: a rectangle's sides, a circle's rim, a polygon's edge. */
export type Side = 'left' | 'right' | 'front' | 'back' | 'rim' | 'edge';

/** The place of a path that lies farthest outside an area. */
export interface Farthest {
  /** mm past the limit; 0 on it, negative inside. */
  readonly over: number;
  readonly side: Side;
  /** The limit's number: the coordinate of a rectangle's side, a circle's radius; null for a polygon. mm. */
  readonly limit: number | null;
  readonly at: Point;
}

/** How far outside an area the places of a box are. `side`, `limit` and `at` tell of the farthest one. */
export interface Outside extends Omit<Farthest, 'over'> {
  /** mm past the limit for the place of the box that is farthest inside; 0 or less: on the limit or inside. */
  readonly least: number;
  /** The same for the place that is farthest outside. */
  readonly most: number;
}

/** A circular path: centre and radius mm, angles in radians, counter-clockwise positive. */
export interface Sweep {
  readonly centre: readonly [number, number];
  readonly radius: number;
  readonly startAngle: number;
  /** Signed. */
  readonly sweep: number;
}

/** Polygons are searched to this, mm; rectangles and circles are exact. */
const TOLERANCE = 0.005;
const MOST_BOXES = 4000;

/**
 * How far outside the area one place is: for a rectangle the distance past the side that is passed farthest, for a
 * circle the distance past the rim, for a polygon the distance to the outline. Negative inside.
 */
export function placeOutside(area: Area, x: number, y: number): Farthest {
  const at = { x, y };
  if (area.shape === 'circle') {
    const over = Math.hypot(x - area.centre.x, y - area.centre.y) - area.radius;
    return { over, side: 'rim', limit: area.radius, at };
  }
  if (area.shape === 'polygon') return { over: signedDistance(area.points, x, y), side: 'edge', limit: null, at };
  let side: Farthest = { over: area.left - x, side: 'left', limit: area.left, at };
  if (x - area.right > side.over) side = { over: x - area.right, side: 'right', limit: area.right, at };
  if (area.front - y > side.over) side = { over: area.front - y, side: 'front', limit: area.front, at };
  if (y - area.back > side.over) side = { over: y - area.back, side: 'back', limit: area.back, at };
  return side;
}

const worse = (a: Farthest, b: Farthest): Farthest => (b.over > a.over ? b : a);
const clamp = (n: number, b: Bounds): number => Math.min(b.hi, Math.max(b.lo, n));

/** How far outside the area a place is at least and at most that may be anywhere in the box. Ends may be infinite. */
export function outside(area: Area, box: { readonly x: Bounds; readonly y: Bounds }): Outside {
  const { x, y } = box;
  const corners = [
    placeOutside(area, x.lo, y.lo),
    placeOutside(area, x.hi, y.lo),
    placeOutside(area, x.lo, y.hi),
    placeOutside(area, x.hi, y.hi),
  ] as const;
  // The distance is convex for all but hollow outlines, and largest at a corner then.
  const corner = corners.reduce(worse);
  if (x.lo === x.hi && y.lo === y.hi) return result(corner.over, corner);
  if (area.shape !== 'polygon') {
    const { left, right, front, back } = hull(area);
    const inner = placeOutside(area, clamp((left + right) / 2, x), clamp((front + back) / 2, y));
    return result(inner.over, corner);
  }
  const h = hull(area);
  // Beyond the hull the distance only grows outwards, so an open side can be cut there to find the innermost place.
  const near = {
    x: { lo: Math.max(x.lo, Math.min(h.left, x.hi)), hi: Math.min(x.hi, Math.max(h.right, x.lo)) },
    y: { lo: Math.max(y.lo, Math.min(h.front, y.hi)), hi: Math.min(y.hi, Math.max(h.back, y.lo)) },
  };
  const least = 0 - mostInBox((px, py) => 0 - signedDistance(area.points, px, py), near).value;
  if (isConvex(area.points) || !Number.isFinite(corner.over)) return result(least, corner);
  const deepest = mostInBox((px, py) => signedDistance(area.points, px, py), box);
  return result(least, worse(corner, placeOutside(area, deepest.at.x, deepest.at.y)));
}

const result = (least: number, most: Farthest): Outside => ({
  least,
  most: most.over,
  side: most.side,
  limit: most.limit,
  at: most.at,
});

/** The largest value in a finite box of a function that changes by at most 1 per mm, by halving the most hopeful box. */
function mostInBox(
  f: (x: number, y: number) => number,
  box: { readonly x: Bounds; readonly y: Bounds },
): { readonly value: number; readonly at: Point } {
  const make = (x: Bounds, y: Bounds) => {
    const at = { x: (x.lo + x.hi) / 2, y: (y.lo + y.hi) / 2 };
    const value = f(at.x, at.y);
    return { x, y, at, value, could: value + Math.hypot(x.hi - x.lo, y.hi - y.lo) / 2 };
  };
  let best: { readonly value: number; readonly at: Point } = { value: Number.NEGATIVE_INFINITY, at: { x: 0, y: 0 } };
  for (const x of [box.x.lo, box.x.hi]) {
    for (const y of [box.y.lo, box.y.hi]) {
      const value = f(x, y);
      if (value > best.value) best = { value, at: { x, y } };
    }
  }
  const open = [make(box.x, box.y)];
  for (let i = 0; i < MOST_BOXES; i++) {
    const top = pop(open);
    if (!top) break;
    if (top.value > best.value) best = top;
    if (top.could <= best.value + TOLERANCE) break;
    const { x, y, at } = top;
    const wide = x.hi - x.lo >= y.hi - y.lo;
    const halves = wide
      ? [make({ lo: x.lo, hi: at.x }, y), make({ lo: at.x, hi: x.hi }, y)]
      : [make(x, { lo: y.lo, hi: at.y }), make(x, { lo: at.y, hi: y.hi })];
    for (const half of halves) if (half.could > best.value + TOLERANCE) push(open, half);
  }
  return best;
}

/** The place of the straight path from a to b that lies farthest outside: an end, but for hollow outlines. */
export function segmentOutside(area: Area, a: Point, b: Point): Farthest {
  const ends = worse(placeOutside(area, a.x, a.y), placeOutside(area, b.x, b.y));
  if (area.shape !== 'polygon' || isConvex(area.points)) return ends;
  const at = (t: number): Point => ({ x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t });
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  return Number.isFinite(length) ? worse(ends, alongPath(area.points, at, length)) : ends;
}

/** The place of an arc that lies farthest outside. Exact for rectangles and circles, within 0.01 mm for polygons. */
export function arcOutside(area: Area, arc: Sweep): Farthest {
  const at = (angle: number): Point => ({
    x: arc.centre[0] + arc.radius * Math.cos(angle),
    y: arc.centre[1] + arc.radius * Math.sin(angle),
  });
  const from = at(arc.startAngle);
  const to = at(arc.startAngle + arc.sweep);
  let most = worse(placeOutside(area, from.x, from.y), placeOutside(area, to.x, to.y));
  if (area.shape === 'polygon') {
    const along = (t: number): Point => at(arc.startAngle + arc.sweep * t);
    return worse(most, alongPath(area.points, along, Math.abs(arc.sweep) * arc.radius));
  }
  if (area.shape === 'circle') {
    const [dx, dy] = [arc.centre[0] - area.centre.x, arc.centre[1] - area.centre.y];
    const angle = Math.atan2(dy, dx);
    if (!inSweep(arc, angle)) return most;
    // Straight away from the bed's centre: the two distances add up, free of what sine and cosine round off.
    const over = Math.hypot(dx, dy) + arc.radius - area.radius;
    return worse(most, { over, side: 'rim', limit: area.radius, at: at(angle) });
  }
  const [cx, cy] = arc.centre;
  const extremes = [
    [0, cx + arc.radius, cy],
    [Math.PI / 2, cx, cy + arc.radius],
    [Math.PI, cx - arc.radius, cy],
    [-Math.PI / 2, cx, cy - arc.radius],
  ] as const;
  for (const [angle, x, y] of extremes) if (inSweep(arc, angle)) most = worse(most, placeOutside(area, x, y));
  return most;
}

/** Whether a direction lies inside an arc's sweep, ends included. */
export function inSweep(arc: Pick<Sweep, 'startAngle' | 'sweep'>, angle: number): boolean {
  const turn = 2 * Math.PI;
  const turned = arc.sweep >= 0 ? angle - arc.startAngle : arc.startAngle - angle;
  return ((turned % turn) + turn) % turn <= Math.abs(arc.sweep);
}

/** Searches a path of this length, given by share of it, on a polygon. */
function alongPath(
  points: Extract<Area, { shape: 'polygon' }>['points'],
  at: (t: number) => Point,
  length: number,
): Farthest {
  const distance = (t: number): number => {
    const { x, y } = at(t);
    return signedDistance(points, x, y);
  };
  const most = mostOn(distance, 0, 1, length, TOLERANCE);
  return { over: most.value, side: 'edge', limit: null, at: at(most.at) };
}

/** How far an area's outline goes outside another area: 0 or less where it lies inside. */
export function outlineOutside(area: Area, inner: Area): Farthest {
  if (inner.shape === 'circle') {
    const { centre, radius } = inner;
    return arcOutside(area, { centre: [centre.x, centre.y], radius, startAngle: 0, sweep: 2 * Math.PI });
  }
  const corners = inner.shape === 'polygon' ? inner.points : rectangleCorners(inner);
  return corners
    .map(([x, y], i) => {
      const [nx, ny] = corners[(i + 1) % corners.length] ?? [x, y];
      return segmentOutside(area, { x, y }, { x: nx, y: ny });
    })
    .reduce(worse);
}

const rectangleCorners = (r: Extract<Area, { shape: 'rectangle' }>): readonly (readonly [number, number])[] => [
  [r.left, r.front],
  [r.right, r.front],
  [r.right, r.back],
  [r.left, r.back],
];

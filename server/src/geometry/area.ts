import type { Area } from '../machine/machine.ts';

/** A place on the bed's plane, mm. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** The smallest upright rectangle round an area, mm. A polygon without points has an empty one at the origin. */
export function hull(area: Area): {
  readonly left: number;
  readonly right: number;
  readonly front: number;
  readonly back: number;
} {
  if (area.shape === 'rectangle') return { left: area.left, right: area.right, front: area.front, back: area.back };
  if (area.shape === 'circle') {
    const { centre, radius } = area;
    return {
      left: centre.x - radius,
      right: centre.x + radius,
      front: centre.y - radius,
      back: centre.y + radius,
    };
  }
  if (area.points.length === 0) return { left: 0, right: 0, front: 0, back: 0 };
  let [left, right, front, back] = [
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ];
  for (const [x, y] of area.points) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    front = Math.min(front, y);
    back = Math.max(back, y);
  }
  return { left, right, front, back };
}

/** The middle of an area's hull, mm: a circle's centre. */
export function centreOf(area: Area): Point {
  const { left, right, front, back } = hull(area);
  return { x: (left + right) / 2, y: (front + back) / 2 };
}

/** An area's size as pickers show it: `228 × 206 mm`, `round, 174 mm across`, `outline, 193 × 161 mm`. */
export function bedSize(area: Area): string {
  const { left, right, front, back } = hull(area);
  if (area.shape === 'circle') return `round, ${mm(2 * area.radius)} mm across`;
  const sides = `${mm(right - left)} × ${mm(back - front)} mm`;
  return area.shape === 'polygon' ? `outline, ${sides}` : sides;
}

/** A length to two digits after the point, without trailing zeros. */
const mm = (n: number): string => String(Math.round(n * 100) / 100 + 0);

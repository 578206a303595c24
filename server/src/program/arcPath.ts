import { ARC_ROUNDING, FULL_CIRCLE } from '../simulate/arc.ts';

const TURN = 2 * Math.PI;

/**
 * The length of an arc by its centre (`i`, `j` from its start), mm, as `readArc` and `arcExtent` of the simulator have it
 * but without an object; -1 where there is no such arc. `hull` takes left, right, front and back of its path.
 */
export function arcPath(
  hull: Float64Array,
  x: number,
  y: number,
  nx: number,
  ny: number,
  i: number,
  j: number,
  clockwise: boolean,
  tolerance: number,
): number {
  const cx = x + i;
  const cy = y + j;
  const radius = Math.hypot(i, j);
  if (radius === 0 || Math.abs(Math.hypot(nx - cx, ny - cy) - radius) > tolerance + ARC_ROUNDING) return -1;
  const from = Math.atan2(y - cy, x - cx);
  const to = Math.atan2(ny - cy, nx - cx);
  let sweep = clockwise ? from - to : to - from;
  sweep = ((sweep % TURN) + TURN) % TURN;
  if (sweep < FULL_CIRCLE || Math.hypot(nx - x, ny - y) <= FULL_CIRCLE) sweep = TURN;
  hull[0] = reaches(Math.PI, from, sweep, clockwise) ? cx - radius : Math.min(x, nx);
  hull[1] = reaches(0, from, sweep, clockwise) ? cx + radius : Math.max(x, nx);
  hull[2] = reaches(-Math.PI / 2, from, sweep, clockwise) ? cy - radius : Math.min(y, ny);
  hull[3] = reaches(Math.PI / 2, from, sweep, clockwise) ? cy + radius : Math.max(y, ny);
  return radius * sweep;
}

/** Whether the arc passes this direction from its centre. */
function reaches(angle: number, from: number, sweep: number, clockwise: boolean): boolean {
  const turned = clockwise ? from - angle : angle - from;
  return ((turned % TURN) + TURN) % TURN <= sweep;
}

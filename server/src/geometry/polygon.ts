/** A corner: [x, y], mm. */
export type Corner = readonly [number, number];

/** The outline without corners that repeat the one before them (a last corner may repeat the first). */
export function plainOutline(points: readonly Corner[]): Corner[] {
  const plain: Corner[] = [];
  for (const point of points) {
    const last = plain.at(-1);
    if (!last || !same(last, point)) plain.push(point);
  }
  const [first, last] = [plain[0], plain.at(-1)];
  if (plain.length > 1 && first && last && same(first, last)) plain.pop();
  return plain;
}
const same = (a: Corner, b: Corner): boolean => a[0] === b[0] && a[1] === b[1];

/** Enclosed area, mm2, positive where the corners go round counter-clockwise (shoelace formula). */
export function signedArea(points: readonly Corner[]): number {
  let twice = 0;
  points.forEach(([x, y], i) => {
    const [nx, ny] = points[(i + 1) % points.length] ?? [x, y];
    twice += x * ny - nx * y;
  });
  return twice / 2;
}

/** Whether no corner turns the other way: for such an outline the farthest point of a straight path is one of its ends. */
export function isConvex(points: readonly Corner[]): boolean {
  let turn = 0;
  for (let i = 0; i < points.length; i++) {
    const side = Math.sign(cross(at(points, i), at(points, i + 1), at(points, i + 2)));
    if (side !== 0 && turn !== 0 && side !== turn) return false;
    if (side !== 0) turn = side;
  }
  return true;
}

/** The first two edges (by the index of their first corner) that cross, touch or run back over each other; null: none do. */
export function crossing(points: readonly Corner[]): readonly [number, number] | null {
  const n = points.length;
  for (let i = 0; i < n; i++) {
    const [a, b] = [at(points, i), at(points, i + 1)];
    const next = at(points, i + 2);
    if (cross(a, b, next) === 0 && (b[0] - a[0]) * (next[0] - b[0]) + (b[1] - a[1]) * (next[1] - b[1]) < 0) {
      return [i, (i + 1) % n];
    }
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      if (meet(a, b, at(points, j), at(points, j + 1))) return [i, j];
    }
  }
  return null;
}

const at = (points: readonly Corner[], i: number): Corner => points[i % points.length] ?? [0, 0];
const cross = (a: Corner, b: Corner, c: Corner): number =>
  (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
const onBox = (a: Corner, b: Corner, p: Corner): boolean =>
  p[0] >= Math.min(a[0], b[0]) &&
  p[0] <= Math.max(a[0], b[0]) &&
  p[1] >= Math.min(a[1], b[1]) &&
  p[1] <= Math.max(a[1], b[1]);

/** Whether two edges share a point: each one's ends lie on different sides of the other, or an end lies on it. */
function meet(a: Corner, b: Corner, c: Corner, d: Corner): boolean {
  const [c1, d1, a1, b1] = [cross(a, b, c), cross(a, b, d), cross(c, d, a), cross(c, d, b)];
  if (c1 * d1 < 0 && a1 * b1 < 0) return true;
  return (
    (c1 === 0 && onBox(a, b, c)) ||
    (d1 === 0 && onBox(a, b, d)) ||
    (a1 === 0 && onBox(c, d, a)) ||
    (b1 === 0 && onBox(c, d, b))
  );
}

/** Signed distance of a point from the outline, mm: positive outside, 0 on it, negative inside. Infinite coordinates are outside. */
export function signedDistance(points: readonly Corner[], x: number, y: number): number {
  if (!Number.isFinite(x) || !Number.isFinite(y)) return Number.POSITIVE_INFINITY;
  // Called for every place that is looked at: squares are compared, and the root is taken once.
  let nearest = Number.POSITIVE_INFINITY;
  let inside = false;
  let [ax, ay] = at(points, points.length - 1);
  for (const corner of points) {
    const bx = corner[0];
    const by = corner[1];
    const dx = bx - ax;
    const dy = by - ay;
    const square = dx * dx + dy * dy;
    const along = square > 0 ? ((x - ax) * dx + (y - ay) * dy) / square : 0;
    const t = Math.max(0, Math.min(1, along));
    const offX = x - ax - t * dx;
    const offY = y - ay - t * dy;
    const distance = offX * offX + offY * offY;
    if (distance < nearest) nearest = distance;
    // Even-odd rule: a ray to the right crosses the outline an odd number of times from inside.
    if (ay > y !== by > y && x < ax + ((y - ay) / dy) * dx) inside = !inside;
    ax = bx;
    ay = by;
  }
  return inside ? 0 - Math.sqrt(nearest) : Math.sqrt(nearest);
}

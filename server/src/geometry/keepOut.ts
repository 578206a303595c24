import type { KeepOut } from '../machine/machine.ts';
import type { Bounds } from '../placeholders/bounds.ts';
import type { Sweep } from './outside.ts';

/** A place in machine coordinates, mm. */
export interface Point3 {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** How far a chord may lie off its arc, mm. */
const SAGITTA = 0.01;
const MOST_CHORDS = 50_000;

/**
 * Where the straight path from a to b first is inside the box, or null where it stays out. Touching a face is not
 * inside; the place returned lies on the face through which the path goes in (or is a, where a is inside already).
 * The slab test: on each axis the path is between two faces during a stretch of time; it is inside while all three are.
 */
export function segmentMeetsBox(a: Point3, b: Point3, box: KeepOut): Point3 | null {
  let enter = Number.NEGATIVE_INFINITY;
  let leave = Number.POSITIVE_INFINITY;
  for (const [from, to, low, high] of [
    [a.x, b.x, box.left, box.right],
    [a.y, b.y, box.front, box.back],
    [a.z, b.z, box.bottom, box.top],
  ] as const) {
    const way = to - from;
    if (way === 0) {
      if (from <= low || from >= high) return null;
      continue;
    }
    const [one, other] = [(low - from) / way, (high - from) / way];
    enter = Math.max(enter, Math.min(one, other));
    leave = Math.min(leave, Math.max(one, other));
  }
  if (enter >= leave || enter >= 1 || leave <= 0) return null;
  const t = Math.max(0, enter);
  return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t, z: a.z + (b.z - a.z) * t };
}

/** Whether a place that may be anywhere within bounds is inside the keep-out: certainly, perhaps, or never. */
export function boxMeetsBox(
  bounds: { readonly x: Bounds; readonly y: Bounds; readonly z: Bounds },
  box: KeepOut,
): 'never' | 'perhaps' | 'always' {
  const axes = [
    [bounds.x, box.left, box.right],
    [bounds.y, box.front, box.back],
    [bounds.z, box.bottom, box.top],
  ] as const;
  if (axes.some(([b, low, high]) => b.hi <= low || b.lo >= high)) return 'never';
  return axes.every(([b, low, high]) => b.lo > low && b.hi < high) ? 'always' : 'perhaps';
}

/**
 * Where an arc first is inside the box, or null. It is followed by chords that lie within 0.01 mm of it; `rise` is the
 * third axis at its start and end, mm. The plane says which axes `centre` counts along, as G17, G18 and G19 do.
 */
export function arcMeetsBox(
  arc: Sweep & { readonly plane: 'xy' | 'zx' | 'yz' },
  rise: readonly [number, number],
  box: KeepOut,
): Point3 | null {
  const place = placer(arc, rise);
  const chords = chordCount(arc);
  let from = place(0);
  for (let i = 1; i <= chords; i++) {
    const to = place(i / chords);
    const hit = segmentMeetsBox(from, to, box);
    if (hit) return hit;
    from = to;
  }
  return null;
}

/** A chord over the angle s lies r (1 - cos(s / 2)) off its arc. */
function chordCount(arc: Sweep): number {
  const step = arc.radius > SAGITTA ? 2 * Math.acos(1 - SAGITTA / arc.radius) : Math.PI / 2;
  const count = Math.ceil(Math.abs(arc.sweep) / step);
  return Math.min(MOST_CHORDS, Math.max(1, Number.isFinite(count) ? count : 1));
}

function placer(
  arc: Sweep & { readonly plane: 'xy' | 'zx' | 'yz' },
  rise: readonly [number, number],
): (t: number) => Point3 {
  return (t) => {
    const angle = arc.startAngle + arc.sweep * t;
    const first = arc.centre[0] + arc.radius * Math.cos(angle);
    const second = arc.centre[1] + arc.radius * Math.sin(angle);
    const third = rise[0] + (rise[1] - rise[0]) * t;
    if (arc.plane === 'xy') return { x: first, y: second, z: third };
    if (arc.plane === 'zx') return { x: second, y: third, z: first };
    return { x: third, y: first, z: second };
  };
}

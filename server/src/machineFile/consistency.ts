import { centreOf, hull, type Point } from '../geometry/area.ts';
import { outlineOutside, outside } from '../geometry/outside.ts';
import { crossing, plainOutline, signedArea } from '../geometry/polygon.ts';
import type { Area, AsideArea, KeepOut, Machine } from '../machine/machine.ts';
import { exact } from '../placeholders/bounds.ts';
import { span } from '../text/span.ts';
import { quoted } from './complaint.ts';
import type { MachineFile } from './schema.ts';
import type { Walk } from './walk.ts';

// What one value alone cannot show: each function looks at values together, reports what contradicts, and returns
// what can still be used.

/** The path of the i-th item that was taken from a list. */
export const itemPath = (walk: Walk, list: string, i: number): string => `${list}.${walk.kept.get(list)?.[i] ?? i}`;

type Sides = Pick<KeepOut, 'left' | 'right' | 'front' | 'back'>;
/** Far below what a machine can do, and above what rounding makes. mm. */
const HAIR = 1e-6;
const mm = (n: number): string => String(Math.round(n * 1000) / 1000 + 0);

/** Reports at the value with this path; where it was left out, at what should hold it. */
export function tell(walk: Walk, path: string, message: string, severity: 'error' | 'warning' = 'error'): void {
  let at = path;
  while (!walk.places.has(at) && at !== '') at = at.includes('.') ? at.slice(0, at.lastIndexOf('.')) : '';
  walk.problems.push({ span: walk.places.get(at) ?? span(0, 0), message, severity });
}

/** An area that has an inside, or null with a problem that says why it has none. */
export function soundArea<T extends Area>(walk: Walk, area: T, path: string): T | null {
  if (area.shape === 'circle') return area;
  if (area.shape === 'rectangle') return soundSides(walk, area, path) ? area : null;
  const points = plainOutline(area.points);
  if (points.length < 3) {
    tell(
      walk,
      `${path}.points`,
      `${path} has ${points.length} different corners; an outline needs at least 3. Until then it is not used.`,
    );
    return null;
  }
  const crossed = crossing(points);
  if (crossed) {
    const [a, b] = crossed.map((i) => `(${points[i]?.map(mm).join(', ')})`);
    tell(
      walk,
      `${path}.points`,
      `The outline of ${path} crosses or touches itself: the edge from ${a} meets the one from ${b}. Give the corners in the order in which the outline goes round. Until then it is not used.`,
    );
    return null;
  }
  if (Math.abs(signedArea(points)) < HAIR) {
    tell(walk, `${path}.points`, `The outline of ${path} encloses no area. Until then it is not used.`);
    return null;
  }
  return { ...area, points };
}

function soundSides(walk: Walk, sides: Sides, path: string): boolean {
  const across = ordered(walk, path, 'left', sides.left, 'right', sides.right);
  const along = ordered(walk, path, 'front', sides.front, 'back', sides.back);
  return across && along;
}

function ordered(walk: Walk, path: string, low: string, from: number, high: string, to: number): boolean {
  if (from < to) return true;
  const axis = low === 'left' ? 'X' : low === 'front' ? 'Y' : 'Z';
  tell(
    walk,
    `${path}.${high}`,
    `${path}.${high} is ${mm(to)}, but must be more than ${low} (${mm(from)}): ${low} is the smaller ${axis}. Until then ${path} is not used.`,
  );
  return false;
}

/** The reach with its height; a height that contradicts itself is left out. */
export function soundReach(walk: Walk, reach: NonNullable<MachineFile['reach']>): Machine['reach'] {
  const area = soundArea<Area>(walk, reach, 'reach');
  const bottom = reach.bottom ?? 0;
  const top = reach.top ?? null;
  if (top !== null && top <= bottom) {
    const limit = reach.bottom === undefined ? `${mm(bottom)}, what holds where bottom is left out` : mm(bottom);
    tell(
      walk,
      'reach.top',
      `reach.top is ${mm(top)}, but must be more than bottom (${limit}). Until then no height is checked.`,
    );
    return area && { ...area, bottom: null, top: null };
  }
  return area && { ...area, bottom, top };
}

export function soundKeepOuts(walk: Walk, boxes: readonly KeepOut[]): KeepOut[] {
  return boxes.filter((box, i) => {
    const path = itemPath(walk, 'keepOut', i);
    const flat = soundSides(walk, box, path);
    return ordered(walk, path, 'bottom', box.bottom, 'top', box.top) && flat;
  });
}

/** Areas beside the print whose figures are in order. */
export function soundAsides(walk: Walk, boxes: readonly GivenAside[]): AsideArea[] {
  return boxes
    .map((box) => ({ ...box, bottom: box.bottom ?? null, top: box.top ?? null }))
    .filter((box, i) => {
      const path = itemPath(walk, 'areas', i);
      const flat = soundSides(walk, box, path);
      const { bottom, top } = box;
      // One of which nothing may be done says nothing; its wrong words are told already.
      if ((box.may ?? []).length === 0) return false;
      return (bottom === null || top === null || ordered(walk, path, 'bottom', bottom, 'top', top)) && flat;
    });
}
type GivenAside = Omit<AsideArea, 'bottom' | 'top'> & { readonly bottom?: number; readonly top?: number };

/** Home where none is stated: left and front of a rectangle, a circle's centre, of an outline the corner nearest to its left front. */
export function defaultHome(area: Area | null, bottom: number | null): Machine['home'] {
  const at = area ? defaultPlace(area) : { x: 0, y: 0 };
  return { ...at, z: Math.max(0, bottom ?? 0) };
}

function defaultPlace(area: Area): Point {
  if (area.shape === 'circle') return centreOf(area);
  const { left, front } = hull(area);
  if (area.shape === 'rectangle') return { x: left, y: front };
  const nearest = [...area.points].sort(
    (a, b) => Math.hypot(a[0] - left, a[1] - front) - Math.hypot(b[0] - left, b[1] - front),
  )[0];
  return { x: nearest?.[0] ?? left, y: nearest?.[1] ?? front };
}

/** Limits of the nozzle's heater that leave room to extrude. */
export function soundNozzleHeat(
  walk: Walk,
  given: { max?: number; minExtrude?: number } | undefined,
  usual: number,
): { max: number | null; minExtrude: number } {
  const max = given?.max ?? null;
  const minExtrude = given?.minExtrude ?? usual;
  if (max === null || max >= minExtrude) return { max, minExtrude };
  const stated = given?.minExtrude !== undefined;
  const path = stated ? 'heat.nozzle.minExtrude' : 'heat.nozzle.max';
  tell(
    walk,
    path,
    stated
      ? `heat.nozzle.minExtrude is ${mm(minExtrude)}, above the hottest the nozzle may be (max ${mm(max)}), so nothing could be extruded. Until then ${mm(Math.min(usual, max))} is used.`
      : `heat.nozzle.max is ${mm(max)}, below ${usual}, the minExtrude that holds where none is given. Give minExtrude too, or correct max. Until then minExtrude is ${mm(max)}.`,
  );
  return { max, minExtrude: Math.min(usual, max) };
}

/** The bed's heat; without a heater it may be 0 at most. */
export function soundBedHeat(
  walk: Walk,
  given: { heater?: boolean; max?: number } | undefined,
): { max: number | null } {
  const max = given?.max ?? null;
  if (given?.heater !== false) return { max };
  if (max !== null && max > 0)
    tell(
      walk,
      'heat.bed.max',
      `heat.bed.max is ${mm(max)}, and heat.bed.heater says that the bed has no heater. Remove one of the two. Until then there is no heater.`,
    );
  return { max: 0 };
}

/** Warnings about places that the nozzle cannot get to. */
export function checkPlaces(walk: Walk, machine: Machine): void {
  const { reach, bed, home, keepOut } = machine;
  if (walk.places.has('home')) checkHome(walk, machine);
  for (const box of keepOut) {
    const inBox = (v: number, lo: number, hi: number): boolean => v > lo && v < hi;
    if (
      inBox(home.x, box.left, box.right) &&
      inBox(home.y, box.front, box.back) &&
      inBox(home.z, box.bottom, box.top)
    ) {
      tell(
        walk,
        'home',
        `Home (${mm(home.x)}, ${mm(home.y)}, ${mm(home.z)}) lies inside the keep-out ${quoted(box.name)}. Check both.`,
        'warning',
      );
    }
  }
  if (!reach) return;
  if (bed) {
    const past = outlineOutside(reach, bed);
    if (past.over > 0.02) {
      tell(
        walk,
        'bed',
        `The bed goes ${mm(past.over)} mm past the reach${past.side === 'edge' || past.side === 'rim' ? '' : ` (${past.side} ${mm(past.limit ?? 0)})`}, so the nozzle cannot get to all of it. Check bed and reach.`,
        'warning',
      );
    }
  }
  for (const [i, box] of (keepOut as KeepOut[]).entries()) {
    const flat = outside(reach, { x: { lo: box.left, hi: box.right }, y: { lo: box.front, hi: box.back } });
    const above = reach.top !== null && box.bottom >= reach.top;
    const below = reach.bottom !== null && box.top <= reach.bottom;
    if (flat.least >= 0 || above || below) {
      tell(
        walk,
        `keepOut.${i}.name`,
        `The keep-out ${quoted(box.name)} lies outside the reach, so it never matters. Check its figures.`,
        'warning',
      );
    }
  }
}

function checkHome(walk: Walk, { reach, bed, home }: Machine): void {
  const area = reach ?? bed;
  if (area) {
    const past = outside(area, { x: exact(home.x), y: exact(home.y) });
    if (past.most > HAIR) {
      const axis =
        past.side === 'left' || past.side === 'right'
          ? 'home.x'
          : past.side === 'front' || past.side === 'back'
            ? 'home.y'
            : 'home';
      const what = reach ? 'reach' : 'bed, which is the reach where none is given';
      tell(walk, axis, `Home lies ${mm(past.most)} mm outside the ${what}. Check home and reach.`, 'warning');
    }
  }
  const { top, bottom } = reach ?? { top: null, bottom: null };
  if (top !== null && home.z > top)
    tell(
      walk,
      'home.z',
      `home.z is ${mm(home.z)}, above the highest Z of the reach (${mm(top)}). Check both.`,
      'warning',
    );
  if (bottom !== null && home.z < bottom)
    tell(
      walk,
      'home.z',
      `home.z is ${mm(home.z)}, below the lowest Z of the reach (${mm(bottom)}). Check both.`,
      'warning',
    );
}

import type { AsideArea, AsideUse, Machine } from '../machine/machine.ts';
import { type Bounds, isExact, type Known } from '../placeholders/bounds.ts';

/** Where something is, as bounds over all jobs, mm. */
interface Extents {
  readonly x: Known;
  readonly y: Known;
  readonly z: Known;
}

/** A way: where it begins and ends, and all that it comes by. */
interface Way {
  readonly from: Extents;
  readonly to: Extents;
  readonly extent: Extents;
}

/**
 * In how many jobs a way lies wholly within an area beside the print where this may happen: 'all' where one area holds
 * the whole of it, 'none' where it meets no such area.
 */
export function aside(machine: Machine | null, use: AsideUse, { from, to, extent: at }: Way): 'all' | 'some' | 'none' {
  let met = false;
  for (const area of machine?.areas ?? []) {
    if (!area.may.includes(use)) continue;
    if (isIn(area, at)) return 'all';
    met ||= meets(area, at);
  }
  // A way that is the same in all jobs and not wholly inside is inside in none of them.
  return met && !(isPlace(from) && isPlace(to)) ? 'some' : 'none';
}

const isPlace = ({ x, y, z }: Extents): boolean => isExact(x) && isExact(y) && isExact(z);

/** The areas that hold a place whole, by name. */
export const areasAround = (machine: Machine | null, at: Extents): readonly string[] =>
  (machine?.areas ?? []).filter((area) => isIn(area, at)).map(({ name }) => name);

const isIn = (area: AsideArea, { x, y, z }: Extents): boolean =>
  holds(area.left, area.right, x) && holds(area.front, area.back, y) && holds(area.bottom, area.top, z);

function holds(low: number | null, high: number | null, place: Known): boolean {
  if (low === null && high === null) return true;
  return place !== null && (low === null || place.lo >= low) && (high === null || place.hi <= high);
}

const meets = (area: AsideArea, { x, y, z }: Extents): boolean =>
  touches(area.left, area.right, x) && touches(area.front, area.back, y) && touches(area.bottom, area.top, z);

const touches = (low: number | null, high: number | null, place: Bounds | null): boolean =>
  place === null || ((low === null || place.hi >= low) && (high === null || place.lo <= high));

import type { Area, Machine } from '../machine/machine.ts';
import { ROUNDING } from '../rules/flowTooHigh.ts';
import { FATTEST } from '../rules/offBed.ts';
import { filamentArea } from '../simulate/bead.ts';

/**
 * What a plain move is held against, machine coordinates, mm and mm/s. A move within all of it breaks no rule; one that
 * is not is looked at with care.
 */
export interface MoveLimits {
  /** left, right, front, back, bottom, top. */
  readonly reach: Box;
  /** Where a line of any width lies whole on the bed. */
  readonly bed: Box;
  /** Hull of all keep-outs; empty where there are none. */
  readonly keepOut: Box;
  /** Highest mm of filament a second, at a flow factor of 1. */
  readonly fastest: number;
  readonly speed: { readonly x: number; readonly y: number; readonly z: number; readonly e: number };
  readonly acceleration: number;
}

export type Box = readonly [number, number, number, number, number, number];

const ALL: Box = [
  Number.NEGATIVE_INFINITY,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  Number.POSITIVE_INFINITY,
];
const NONE: Box = [1, -1, 1, -1, 1, -1];

export function limitsOf(machine: Machine | null): MoveLimits {
  const bottom = machine?.reach?.bottom ?? 0;
  const area = machine?.reach ?? machine?.bed ?? null;
  const flat = area ? inner(area, 0) : ALL;
  const any = (limit: number | null | undefined): number => limit ?? Number.POSITIVE_INFINITY;
  const { speed } = machine ?? {};
  return {
    reach: [flat[0], flat[1], flat[2], flat[3], bottom, any(machine?.reach?.top)],
    bed: machine?.bed ? inner(machine.bed, FATTEST * machine.nozzle.diameter) : ALL,
    keepOut: (machine?.keepOut ?? []).reduce<Box>(
      (hull, box) => [
        Math.min(hull[0], box.left),
        Math.max(hull[1], box.right),
        Math.min(hull[2], box.front),
        Math.max(hull[3], box.back),
        Math.min(hull[4], box.bottom),
        Math.max(hull[5], box.top),
      ],
      machine && machine.keepOut.length > 0 ? [...EMPTY] : NONE,
    ),
    fastest:
      machine?.mostFlow != null
        ? (machine.mostFlow * ROUNDING) / filamentArea(machine.filament.diameter)
        : Number.POSITIVE_INFINITY,
    speed: { x: any(speed?.x), y: any(speed?.y), z: any(speed?.z), e: any(speed?.e) },
    acceleration: any(machine?.acceleration),
  };
}

/** A box that nothing is in yet: low ends above, high ends below all. */
export const EMPTY: Box = [
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
  Number.POSITIVE_INFINITY,
  Number.NEGATIVE_INFINITY,
];

/** A box that lies in the area, at least `margin` from its edge: for an outline none, so that all moves are looked at. */
function inner(area: Area, margin: number): Box {
  if (area.shape === 'rectangle')
    return [area.left + margin, area.right - margin, area.front + margin, area.back - margin, 0, 0];
  if (area.shape === 'polygon') return NONE;
  const half = (area.radius - margin) * Math.SQRT1_2 * (1 - 1e-9);
  const { x, y } = area.centre;
  return [x - half, x + half, y - half, y + half, 0, 0];
}

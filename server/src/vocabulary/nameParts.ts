import type { Bounds } from '../placeholders/bounds.ts';
import type { Name, NameKind } from '../placeholders/vocabulary.ts';

/** What a job can ask for where the machine says nothing. Wide on purpose. Common practice, no source. */
export const ANY = {
  coordinate: { lo: -1000, hi: 1000 },
  top: 1000,
  nozzleCold: 150,
  nozzleHot: 350,
  bedHot: 150,
  chamberHot: 100,
  thinnest: 0.04,
  thickest: 0.8,
  /** Below this a bed is off. */
  bedOn: 35,
  /** How far a nozzle is above a bed at least, with any usual filament. */
  apart: 115,
  /** How wide and deep a part is at least. mm. */
  part: 3,
  /** mm/s. */
  speed: { lo: 5, hi: 500 },
  /** mm/s2. */
  acceleration: { lo: 100, hi: 20_000 },
  /** Of the nozzle's diameter. */
  width: { lo: 0.9, hi: 1.6 },
  /** mm. Further back the tip gets into the cold zone. */
  retraction: 10,
  /** %. */
  flow: { lo: 50, hi: 150 },
} as const;

/** A bound that is never above its upper end, whatever a machine file says. */
export const upTo = (lo: number, hi: number): Bounds => ({ lo: Math.min(lo, hi), hi });
export const clamp = (n: number, b: Bounds): number => Math.min(b.hi, Math.max(b.lo, n));
export const round = (n: number): number => Math.round(n * 100) / 100;

export type More = Partial<Omit<Name, 'name' | 'kind' | 'unit' | 'range' | 'sample' | 'meaning'>>;

/** A number with a range; the sample is moved into it. */
export function number(
  name: string,
  kind: NameKind,
  unit: string,
  range: Bounds | null,
  sample: number,
  meaning: string,
  more: More = {},
): Name {
  return { name, kind, unit, range, sample: range ? round(clamp(sample, range)) : sample, meaning, ...more };
}
export const degrees = (name: string, range: Bounds, sample: number, meaning: string, more: More = {}): Name =>
  number(name, 'temperature', 'degrees C', range, sample, meaning, more);
export const length = (name: string, range: Bounds | null, sample: number, meaning: string, more: More = {}): Name =>
  number(name, 'length', 'mm', range, sample, meaning, more);
export const count = (name: string, range: Bounds, sample: number, meaning: string, more: More = {}): Name =>
  number(name, 'count', '', range, sample, meaning, { whole: true, ...more });

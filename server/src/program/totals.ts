import type { Machine } from '../machine/machine.ts';
import { DEFAULTS } from '../machineFile/schemaParts.ts';
import { filamentArea } from '../simulate/bead.ts';
import type { FastState } from './fastState.ts';
import type { Lacking } from './notes.ts';
import type { Extension, Mass, ProgramExtent, ProgramTotals } from './report.ts';
import type { Layers, Sums } from './sums.ts';

/**
 * Densities, g/cm3 (material data sheets: PLA 1.21 to 1.43, PETG 1.20 to 1.30, ABS 1.02 to 1.21, ASA 1.05 to 1.07,
 * PA6 1.12 to 1.15, PC 1.20 to 1.24, TPU 1.10 to 1.30).
 */
const DENSITY: Readonly<Record<string, number>> = {
  PLA: 1.24,
  PETG: 1.27,
  ABS: 1.04,
  ASA: 1.06,
  PA: 1.13,
  PA6: 1.13,
  PC: 1.2,
  TPU: 1.21,
};

/** Materials whose density is known. */
export const MATERIALS: readonly string[] = Object.keys(DENSITY);

/** What most filament is made of; common practice, no source. */
const USUAL = ['PLA', 'PETG', 'ABS'];

/** g of a length of filament by material: of the one that was named, else of the usual ones. Lengths mm. */
function massOf(length: number, diameter: number, material: string | undefined): readonly Mass[] {
  const volume = length * filamentArea(diameter);
  const names = material === undefined ? USUAL : [material.toUpperCase()];
  return names.flatMap((name) => {
    const density = DENSITY[name];
    return density === undefined ? [] : [{ material: name, grams: (volume * density) / 1000 }];
  });
}

/** The filament's mass in words, "of 1.75 mm: 36.8 g as PLA, 30.9 g as ABS"; null where none is known, or it is next to nothing. */
export function massText({ diameter, mass }: ProgramTotals): string | null {
  if (!mass?.some(({ grams }) => grams >= LEAST)) return null;
  return `of ${diameter} mm: ${mass.map(({ material, grams }) => `${gramsText(grams)} g as ${material}`).join(', ')}`;
}

/** g that are worth telling. */
const LEAST = 0.01;

const gramsText = (grams: number): string => String(Number(grams.toFixed(grams < 10 ? 2 : grams < 100 ? 1 : 0)));

/** The sums as they are reported. */
export function totalsOf(
  sums: Sums,
  fast: FastState,
  lacking: Lacking,
  machine: Machine | null,
  material: string | undefined,
): ProgramTotals {
  const filament = known(sums.filament);
  const diameter = machine?.filament.diameter ?? DEFAULTS.filament;
  return {
    moves: sums.moves,
    extent: extentOf(sums.box),
    extruded: extentOf(sums.extruded),
    unplaced: sums.unplaced,
    travel: known(sums.travel),
    extruding: known(sums.extruding),
    layers: { ...layersOf(sums.layers), rising: sums.rising },
    seconds: known(sums.seconds),
    filament,
    diameter,
    mass: filament === null ? null : massOf(filament, diameter, material),
    hottest: { nozzle: known(sums.nozzle), bed: known(sums.bed), chamber: known(sums.chamber) },
    tools: [...sums.tools].filter(([tool]) => tool >= 0).map(([tool, length]) => ({ tool, filament: length })),
    longestLine: { length: fast.longest, line: fast.longestLine },
    lacking: [...lacking].map(([feature, { line, count }]) => ({ feature, line, count })),
  };
}

const known = (n: number): number | null => (Number.isNaN(n) ? null : n + 0);

function extentOf(box: Float64Array): ProgramExtent {
  const range = (i: number): Extension | null => {
    const [lo, hi] = [box[i] as number, box[i + 1] as number];
    return lo <= hi ? [lo, hi] : null;
  };
  return { x: range(0), y: range(2), z: range(4) };
}

function layersOf({ heights }: Layers): Omit<ProgramTotals['layers'], 'rising'> {
  const sorted = [...heights.keys()].sort((a, b) => a - b);
  const steps = new Map<number, number>();
  for (let i = 1; i < sorted.length; i++) {
    const step = Math.round(((sorted[i] as number) - (sorted[i - 1] as number)) * 1e4) / 1e4;
    steps.set(step, (steps.get(step) ?? 0) + 1);
  }
  const [typical] = [...steps].sort((a, b) => b[1] - a[1]);
  return {
    count: sorted.length,
    first: sorted[0] ?? null,
    top: sorted[sorted.length - 1] ?? null,
    typical: typical?.[0] ?? null,
  };
}

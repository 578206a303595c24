import type { Machine } from '../machine/machine.ts';
import { filamentArea } from '../simulate/bead.ts';
import type { FastState } from './fastState.ts';
import type { Lacking } from './notes.ts';
import type { ProgramExtent, ProgramTotals, Range } from './report.ts';
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

/** g of a length of filament; null where the material's density is not known. Lengths mm. */
export function massOf(length: number, diameter: number, material: string | undefined): number | null {
  const density = DENSITY[material?.toUpperCase() ?? ''];
  return density === undefined ? null : (length * filamentArea(diameter) * density) / 1000;
}

/** The sums as they are reported. */
export function totalsOf(
  sums: Sums,
  fast: FastState,
  lacking: Lacking,
  machine: Machine | null,
  material: string | undefined,
): ProgramTotals {
  const filament = known(sums.filament);
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
    mass: filament === null ? null : massOf(filament, machine?.filament.diameter ?? 1.75, material),
    hottest: { nozzle: known(sums.nozzle), bed: known(sums.bed), chamber: known(sums.chamber) },
    tools: [...sums.tools].filter(([tool]) => tool >= 0).map(([tool, length]) => ({ tool, filament: length })),
    longestLine: { length: fast.longest, line: fast.longestLine },
    lacking: [...lacking].map(([feature, { line, count }]) => ({ feature, line, count })),
  };
}

const known = (n: number): number | null => (Number.isNaN(n) ? null : n + 0);

function extentOf(box: Float64Array): ProgramExtent {
  const range = (i: number): Range | null => {
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

import Toolpath from 'gcode-toolpath';
import { describe, expect, it } from 'vitest';
import type { Machine } from '../../server/src/machine/machine.ts';
import { checkProgram, type ProgramReport } from '../../server/src/program/checkProgram.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';
import { PLACES, wholeProgram } from '../program/programs.ts';
import { CASES, machine, RS274, row } from './support.ts';

// The streaming check of finished programs against figures and an interpreter from elsewhere.

function report(text: string, on: Machine | null, material?: string): ProgramReport {
  const check = checkProgram(on, vocabularyFor(on), material === undefined ? {} : { material });
  const bytes = new TextEncoder().encode(text);
  // Odd pieces, so that lines are cut anywhere.
  for (let at = 0; at < bytes.length; at += 1021) check.push(bytes.subarray(at, at + 1021));
  return check.end();
}

describe('extents of written programs against gcode-toolpath 3 (npm, MIT)', () => {
  const turn = 2 * Math.PI;
  const theirs = (text: string): Record<'x' | 'y' | 'z', [number, number]> => {
    const box: Record<'x' | 'y' | 'z', [number, number]> = { x: [0, 0], y: [0, 0], z: [0, 0] };
    const see = (p: { x: number; y: number; z: number }): void => {
      for (const a of ['x', 'y', 'z'] as const) box[a] = [Math.min(box[a][0], p[a]), Math.max(box[a][1], p[a])];
    };
    new Toolpath({
      addLine: (_, from, to) => {
        see(from);
        see(to);
      },
      addArcCurve: ({ motion }, from, to, centre) => {
        const radius = Math.hypot(from.x - centre.x, from.y - centre.y);
        const start = Math.atan2(from.y - centre.y, from.x - centre.x);
        const direction = motion === 'G2' ? -1 : 1;
        const raw = direction * (Math.atan2(to.y - centre.y, to.x - centre.x) - start);
        const sweep = ((raw % turn) + turn) % turn;
        for (let i = 0; i <= 1500; i++) {
          const angle = start + (direction * sweep * i) / 1500;
          see({ x: centre.x + radius * Math.cos(angle), y: centre.y + radius * Math.sin(angle), z: from.z });
        }
        see(to);
      },
    }).loadFromStringSync(text);
    return box;
  };

  it.each(Array.from({ length: 24 }, (_, i) => i + 1))('program %i', (seed) => {
    const place = [PLACES.corner, PLACES.centre, PLACES.twin][seed % 3] ?? PLACES.corner;
    const text = wholeProgram({
      seed,
      bytes: 60_000,
      place,
      arcs: seed % 2 === 0,
      spiral: seed % 5 === 0,
      relativeE: seed % 4 === 0,
      mistakes: seed % 6 === 0 ? ['off-bed', 'beyond-reach'] : [],
    });
    const { totals } = report(text, null);
    const other = theirs(text);
    for (const axis of ['x', 'y', 'z'] as const) {
      // Theirs begins at 0; ours does not know where the machine stands until it is homed.
      expect(Math.min(0, totals.extent[axis]?.[0] ?? 0)).toBeCloseTo(other[axis][0], 2);
      expect(Math.max(0, totals.extent[axis]?.[1] ?? 0)).toBeCloseTo(other[axis][1], 2);
    }
    expect(totals.moves).toBe(text.match(/^G[0-3] .*[XYZE]/gm)?.length);
  });

  it('would see a line left out', () => {
    const text = 'G28\nG1 X10 Y10 F600\nG1 X90 Y10\nG1 X20 Y20\n';
    expect(report(text.replace('X90', 'X30'), null).totals.extent.x?.[1]).not.toBeCloseTo(theirs(text).x[1], 2);
  });
});

describe('figures of cases.json', () => {
  const ROOM = { bed: { shape: 'rectangle', left: -500, right: 500, front: -500, back: 500 } };
  const begin = 'G21\nG90\nM82\nG28\nG92 X0 Y0 Z0 E0\nM302 P1\n';
  const seconds = (lines: readonly string[], on: Machine): number | null =>
    report(`${begin}${lines.join('\n')}\n`, on).totals.seconds;

  it.each(['time-trapezoid', 'time-triangle', 'time-boundary', 'time-long-travel'])('%s', (id) => {
    const { input, expect: want, tolerance } = row(id);
    const on = machine({ ...ROOM, name: 'Times', acceleration: input.accel_mm_s2 });
    const found = seconds([`G1 X${input.distance_mm} F${input.speed_mm_s * 60}`], on);
    expect(Math.abs((found ?? Number.NaN) - want.time_s)).toBeLessThanOrEqual(tolerance);
  });

  it.each(['time-no-accel', 'time-e-does-not-count', 'time-e-only', 'flow-e-only', 'flow-line', 'helix-length-time'])(
    '%s',
    (id) => {
      const { input, expect: want } = row(id);
      // The helix is given without the speed of its first move; rapid moves of no length take no time.
      expect(seconds(input.lines, RS274)).toBeCloseTo(want.time_s, 5);
    },
  );

  it('flow-line, flow-line-2.85: what is above the limit is told, what is at it is not', () => {
    for (const id of ['flow-line', 'flow-line-2.85']) {
      const { input, expect: want } = row(id);
      const on = (most: number) =>
        machine({ ...ROOM, name: 'Flow', mostFlow: most, filament: { diameter: input.filament_diameter_mm } });
      const text = `${begin}${input.lines.join('\n')}\n`;
      // The rule leaves 5 % for rounding.
      expect(report(text, on(want.flow_mm3_s / 1.051)).counts['flow-too-high']).toBe(1);
      expect(report(text, on(want.flow_mm3_s / 1.049)).counts['flow-too-high']).toBeUndefined();
    }
  });

  it('bead-e-per-100mm: the filament that such a line takes is what is counted', () => {
    const { input, expect: want, tolerance } = row('bead-e-per-100mm');
    const { totals } = report(`${begin}G1 X${input.length_mm} E${want.e_stadium_mm} F1200\n`, RS274);
    expect(Math.abs((totals.filament ?? Number.NaN) - want.e_stadium_mm)).toBeLessThanOrEqual(tolerance);
    expect(totals.extruding).toBe(input.length_mm);
  });

  const masses = CASES.filter(({ id }) => id.startsWith('mass-'));
  it.each(masses.map((c) => [c.id, c] as const))('%s', (_, { input, expect: want, tolerance }) => {
    const on = machine({ ...ROOM, name: 'Mass', filament: { diameter: input.filament_diameter_mm } });
    const { totals } = report(`${begin}G1 E1000 F300\n`, on, input.material);
    expect(Math.abs((totals.mass?.[0]?.grams ?? Number.NaN) - want.g_per_m)).toBeLessThanOrEqual(tolerance);
  });
  it('has rows of mass', () => expect(masses.length).toBeGreaterThanOrEqual(3));
  it('without the material says the mass of the usual ones', () => {
    const { diameter, mass } = report(`${begin}G1 E1000 F300\n`, RS274).totals;
    expect(diameter).toBe(1.75);
    // 2.405282 mm2 (pi 1.75^2 / 4) times 1 m, with the densities of data sheets.
    const rounded = mass?.map(({ material, grams }) => [material, Number(grams.toFixed(3))]);
    expect(rounded).toEqual([
      ['PLA', 2.983],
      ['PETG', 3.055],
      ['ABS', 2.501],
    ]);
  });
});

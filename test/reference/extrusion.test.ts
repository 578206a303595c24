import { describe, expect, it } from 'vitest';
import { analyze } from '../../server/src/service/analyze.ts';
import { fixesOf } from '../../server/src/service/fixes.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';
import { machine, row } from './support.ts';

// The figures that the rules about flow and beads tell, against the rows of cases.json: conservation of volume, the
// circle's area and plane geometry. See the `source` of each row.

const HEAD = 'G21\nG90\nM83\nG28\nM109 S210\n';

function run(lines: string, facts: object) {
  const of = machine({
    name: 'Figures',
    bed: { shape: 'rectangle', left: 0, right: 402, front: 0, back: 386 },
    home: { x: 10, y: 10, z: 5 },
    ...facts,
  });
  return analyze(`${HEAD}${lines}\n`, 'start', of, vocabularyFor(of));
}
const said = (a: ReturnType<typeof run>, rule: string) => a.findings.filter((f) => f.rule === rule);

describe('flow-too-high: area of the filament times its speed', () => {
  it.each(['flow-e-only', 'flow-line', 'flow-line-2.85'])('%s', (id) => {
    const { input, expect: wanted } = row(id);
    const lines = (input.lines as string[]).join('\n').replace('X100', 'X110');
    const filament = { diameter: input.filament_diameter_mm as number };
    const flow = wanted.flow_mm3_s as number;
    // A flow within 5 % of the limit is not told: E is written with few digits.
    const slow = said(run(lines, { filament, mostFlow: flow / 1.06 }), 'flow-too-high');
    expect(slow.map((f) => f.message.split(',')[0])).toEqual([`This feeds ${Math.round(flow * 10) / 10} mm³/s`]);
    expect(said(run(lines, { filament, mostFlow: flow / 1.04 }), 'flow-too-high')).toEqual([]);
  });

  it('flow-limit-e-feed: the speed that the fix writes is the highest whole F within the limit', () => {
    const { input, expect: wanted } = row('flow-limit-e-feed');
    const a = run('G1 E10 F600', { mostFlow: input.flow_limit_mm3_s });
    const [found] = said(a, 'flow-too-high');
    if (!found) throw new Error('nothing was found');
    expect(fixesOf(a, found).map((fix) => fix.edits[0]?.text)).toEqual([String(Math.floor(wanted.max_e_feed_mm_min))]);
  });
});

describe('bead-size: a bead with round sides', () => {
  it('bead-e-per-100mm: that much filament over that length makes a bead of that width', () => {
    const { input, expect: wanted } = row('bead-e-per-100mm');
    const line = `G1 Z${input.height_mm} F600\nG1 X${10 + input.length_mm} E${wanted.e_stadium_mm} F900`;
    // It is told where half the nozzle is wider.
    const thin = said(run(line, { nozzle: { diameter: input.width_mm * 2.02 } }), 'bead-size');
    expect(thin.map((f) => f.message)).toEqual([expect.stringContaining(`make a line ${input.width_mm} mm wide`)]);
    expect(said(run(line, { nozzle: { diameter: input.width_mm * 1.98 } }), 'bead-size')).toEqual([]);
  });

  it('bead-0.6x0.3: a bead of that section is told where three nozzles are narrower', () => {
    const { input, expect: wanted } = row('bead-0.6x0.3');
    const e = (100 * wanted.stadium_mm2) / row('area-1.75').expect.area_mm2;
    const line = `G1 Z${input.height_mm} F600\nG1 X110 E${e.toFixed(6)} F900`;
    const nozzle = (times: number) => ({ nozzle: { diameter: input.width_mm / times } });
    const wide = said(run(line, { nozzle: { diameter: 0.21 } }), 'bead-size');
    expect(wide).toEqual([]);
    // Up to one and a half nozzles high it is a bead on the bed: 0.3 mm at a nozzle of 0.2 is just that.
    const told = said(run(line.replace('X110', 'X108'), nozzle(3)), 'bead-size');
    expect(told.map((f) => f.message)).toEqual([
      expect.stringContaining('mm wide: more than 3 times the nozzle (0.2)'),
    ]);
  });
});

import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import type { Known } from '../../../server/src/placeholders/bounds.ts';
import { boundsEnv } from '../../../server/src/placeholders/environment.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { readingsOf } from '../../../server/src/simulate/readings.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { slice } from '../../../server/src/text/span.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const PIPIT = {
  name: 'Pipit 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: -3, right: 211, front: -7, back: 193, bottom: 0, top: 226 },
  home: { x: -3, y: -7, z: 0 },
  heat: { nozzle: { max: 268, minExtrude: 172 }, bed: { max: 108 } },
  mostFlow: 13,
  speed: { x: 270, y: 240, z: 11, e: 55 },
  controller: { dwell: 'ms', fanFull: 255 },
  commands: [
    {
      name: 'WARM_THROUGH',
      meaning: 'Holds the bed.',
      words: [
        { key: 'TO', meaning: 'bed', unit: 'degrees C' },
        { key: 'FOR', meaning: 'how long', unit: 'min' },
      ],
      effects: [{ do: 'heat', heater: 'bed', wait: true, key: 'TO' }],
    },
  ],
};
const machine = readMachine(JSON.stringify(PIPIT)).machine;
const vocabulary = vocabularyFor(machine);

const run = (text: string, role: Role = 'start') => simulate(prepare(text, role, machine), boundsEnv(vocabulary));

const shown = (b: Known): string => (b ? (b.lo === b.hi ? `${b.lo}` : `${b.lo}..${b.hi}`) : '?');

/** "X place x 5 -> 5 (reach.left reach.right)" for each word of the last step. */
function told(text: string, role: Role = 'start'): string[] {
  const step = run(text, role).steps.at(-1);
  if (!step) return [];
  return step.readings.map(
    (r) => `${r.word.key} ${r.quantity} ${shown(r.written)} -> ${shown(r.machine)} (${r.limits.join(' ')})`,
  );
}

const HOMED = 'G21\nG90\nM83\nG28\n';

describe('what each word of a step meant there', () => {
  it('places, filament and feed of a move', () => {
    expect(told(`${HOMED}G1 X40 Z0.3 E2 F900`)).toEqual([
      'X place x 40 -> 40 (reach.left reach.right bed.left bed.right)',
      'Z place z 0.3 -> 0.3 (reach.bottom reach.top)',
      'E filament 2 -> 2 (mostFlow speed.e)',
      'F feed 900 -> 900 (speed.x speed.z speed.e mostFlow)',
    ]);
  });
  it('a relative move, a shifted origin and inches: the place is the machine’s own', () => {
    expect(told(`${HOMED}G1 X40 F900\nG91\nG1 X5`)).toEqual(['X place x 5 -> 45 (reach.left reach.right)']);
    expect(told(`${HOMED}G1 X40 F900\nG92 X0\nG1 X5`)).toEqual(['X place x 5 -> 45 (reach.left reach.right)']);
    // 25.4 mm an inch, exactly (international yard and pound agreement, 1959).
    expect(told('G20\nG90\nG28\nG1 X2 F60')).toEqual([
      'X place x 2 -> 50.8 (reach.left reach.right)',
      'F feed 60 -> 1524 (speed.x)',
    ]);
  });
  it('heaters, fans, waits and factors', () => {
    expect(told('M104 S205')).toEqual(['S nozzle target 205 -> 205 (heat.nozzle.max heat.nozzle.minExtrude)']);
    expect(told('M190 R55')).toEqual(['R bed target 55 -> 55 (heat.bed.max)']);
    expect(told('M106 S51')).toEqual(['S fan share 51 -> 0.2 ()']);
    expect(told('G4 P1500')).toEqual(['P wait 1500 -> 1.5 ()']);
    expect(told('M220 S80')).toEqual(['S speed factor 80 -> 0.8 ()']);
    expect(told('T1')).toEqual(['T tool 1 -> 1 (tools)']);
  });
  it('words of a command that the machine file declares', () => {
    expect(told('WARM_THROUGH TO=60 FOR=4')).toEqual(['TO bed target 60 -> 60 (heat.bed.max)', 'FOR time 4 -> 240 ()']);
  });
  it('an arc’s center and radius', () => {
    expect(told(`${HOMED}G17\nG1 X40 Y40 F900\nG2 X60 Y40 I10`)).toContain(
      'I distance x 10 -> 10 (reach.left reach.right)',
    );
  });
});

describe('the value is the one under the conditions around the step', () => {
  it('inside a section the condition counts', () => {
    expect(told('{{# heat.bed.later > 60 }}\nM140 S{{ heat.bed.later }}\n{{/}}')).toEqual([
      expect.stringMatching(/^S bed target 60\.\.108 /),
    ]);
    expect(told('M140 S{{ heat.bed.later }}')).toEqual([expect.stringMatching(/^S bed target 0\.\.108 /)]);
  });
  it('inside a list’s section it is that turn’s element', () => {
    const twoTools = readMachine(JSON.stringify({ ...PIPIT, tools: 2 })).machine;
    const names = vocabularyFor(twoTools);
    const trace = simulate(
      prepare('{{# tools }}\nM104 T{{ number }} S{{ heat.first }}\n{{/}}', 'start', twoTools),
      boundsEnv(names),
    );
    for (const step of trace.steps) {
      const tool = step.readings.find((r) => r.quantity === 'tool');
      expect(tool?.written && tool.written.lo >= 0 && tool.written.hi <= 1).toBe(true);
    }
    expect(trace.steps.length).toBeGreaterThan(0);
  });
});

it('the source of an expression names every number and name with its place', () => {
  const text = 'G1 Z{{ min(part.top + 10, reach.top) }} F{{ 5 * 60 }} E-2';
  const [z, f, e] = run(text, 'end').steps.at(-1)?.readings ?? [];
  const parts = (r: typeof z): string[] =>
    r?.source.is === 'expression' ? r.source.parts.map((p) => slice(text, p.span)) : [];
  expect(parts(z)).toEqual(['part.top', '10', 'reach.top']);
  expect(parts(f)).toEqual(['5', '60']);
  expect(e?.source).toEqual({ is: 'literal', span: e?.span });
  expect(e && slice(text, e.span)).toBe('-2');
});

it('every word of every command has a quantity, and what an effect reads is never just a number', () => {
  const trace = run('G28 X Y\nM84 X\nG92 E0\nM302 S0');
  const quantities = trace.steps.flatMap((step) => readingsOf(step).map((r) => r.quantity));
  expect(quantities).toEqual(['axis to home x', 'axis to home y', 'axis to release x', 'reading e', 'cold extrusion']);
});

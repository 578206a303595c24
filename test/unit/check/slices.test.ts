import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../server/src/rules/rule.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { machineOf } from '../analyze/machines.ts';
import { randomOf } from '../analyze/random.ts';

const DIPPER = machineOf({
  name: 'Dipper 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: -3, right: 209, front: -2, back: 193, bottom: 0, top: 226 },
  heat: { nozzle: { max: 271, minExtrude: 168 }, bed: { max: 97 } },
  keepOut: [{ name: 'wire guide', left: 171, right: 183, front: 151, back: 163, bottom: 0, top: 47 }],
});
const NAMES = vocabularyFor(DIPPER);

const findings = (text: string, rule: string): readonly Finding[] =>
  analyze(text, 'end', DIPPER, NAMES).findings.filter((f) => f.rule === rule);

describe('a narrow slice of values that shows a finding is worked out', () => {
  it('a section leaves room for 5 mm and the step takes 15: only heights from 211 to 221 mm show it', () => {
    const [found] = findings('{{# part.top < 221 }}\nG91\nG1 Z15 F600\nG90\n{{/}}', 'beyond-reach');
    const top = found?.when?.['part.top'];
    expect(top).toBeGreaterThan(211);
    expect(top).toBeLessThan(221);
  });

  it('a slice of half a millimeter between two numbers that nobody compares with', () => {
    const [found] = findings('{{# part.top * 2 < 443 }}\nG90\nG1 Z{{ part.top + 5 }} F600\n{{/}}', 'beyond-reach');
    const top = found?.when?.['part.top'];
    expect(top).toBeGreaterThan(221);
    expect(top).toBeLessThan(221.5);
    expect(found?.message).toContain(`part.top is ${top}`);
  });

  it('over several names, each met with the conditions around it', () => {
    const text =
      '{{# part.top > 60 && part.top < 61 && part.right > part.left + 150 }}\nG90\nG1 X{{ part.right + part.top / 2 }} F3000\n{{/}}';
    const [found] = findings(text, 'beyond-reach');
    const when = found?.when ?? {};
    const [top, right, left] = ['part.top', 'part.right', 'part.left'].map((name) => when[name] as number);
    expect(top).toBeGreaterThan(60);
    expect(top).toBeLessThan(61);
    expect((right ?? 0) + (top ?? 0) / 2).toBeGreaterThan(209);
    if (left !== undefined) expect(right).toBeGreaterThan(left + 150);
  });

  it('of a greatest number one of its numbers is enough', () => {
    const text = '{{# part.top < 221 }}\nG90\nG1 Z{{ max(part.top + 9, 30) }} F600\n{{/}}';
    expect(findings(text, 'beyond-reach')[0]?.when?.['part.top']).toBeGreaterThan(217);
  });

  it('a temperature, in whole degrees where the name has no others', () => {
    const text = '{{# heat.bed.later * 3 < 200 }}\nM140 S{{ heat.bed.later * 1.5 }}\n{{/}}';
    const [found] = findings(text, 'too-hot');
    const bed = found?.when?.['heat.bed.later'] as number;
    expect(bed * 1.5).toBeGreaterThan(97);
    expect(bed * 3).toBeLessThan(200);
  });

  it('and no job is told where there is none: the section leaves room enough', () => {
    expect(findings('{{# part.top < 211 }}\nG91\nG1 Z15 F600\nG90\n{{/}}', 'beyond-reach')).toEqual([]);
  });
});

it('random linear conditions and limits: a slice of 0.5 % of the heights or more is found, and what is told lies in it', () => {
  const LIMIT = 226;
  const range = NAMES.names.get('part.top')?.range ?? { lo: 0, hi: 0 };
  let found = 0;
  let none = 0;
  for (let seed = 1; seed <= 150; seed++) {
    const random = randomOf(seed);
    // The condition a * top < b, and the move to c * top + d: together they leave the heights from `from` to `to`.
    const [a, c] = [random.decimal(0.3, 4, 2), random.decimal(0.4, 1.8, 2)];
    const d = random.decimal(5, 60, 1);
    const from = Math.max(range.lo, (LIMIT - d) / c);
    const share = random.chance(0.2) ? -random.decimal(0.01, 0.1, 3) : random.decimal(0.005, 0.06, 4);
    const to = from + share * (range.hi - range.lo);
    if (from >= range.hi - 2 || to > range.hi) continue;
    const text = `{{# part.top * ${a} < ${a * to} }}\nG90\nG1 Z{{ part.top * ${c} + ${d} }} F600\n{{/}}`;
    const [told] = findings(text, 'beyond-reach');
    if (share < 0) {
      expect(told, text).toBeUndefined();
      none++;
      continue;
    }
    const top = told?.when?.['part.top'];
    expect(top, text).toBeGreaterThan(from - 1e-6);
    expect(top, text).toBeLessThan(to);
    found++;
  }
  expect(found).toBeGreaterThan(40);
  expect(none).toBeGreaterThan(8);
});

import { describe, expect, it } from 'vitest';
import { RULES } from '../../../server/src/rules/all.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { machineOf } from '../analyze/machines.ts';

// What a word gets is judged by what is filled in, not by how it is written. Each text alone, in the role of a start.

const ONE = machineOf({
  name: 'Dotterel 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188, bottom: 0, top: 226 },
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 287, minExtrude: 172 }, bed: { max: 113 }, chamber: { max: 61 } },
  mostFlow: 11,
});

const of = (text: string, machine: typeof ONE | null = ONE) => analyze(text, 'start', machine, vocabularyFor(machine));
const found = (text: string, rule: string, machine: typeof ONE | null = ONE) =>
  of(text, machine).findings.filter((f) => f.rule === rule);
const holds = (text: string, rule: string, machine: typeof ONE | null = ONE): boolean => {
  const { findings, verdict } = of(text, machine);
  return ![...findings, ...verdict.undecided, ...verdict.unasked].some((one) => one.rule === rule);
};

/** The rules about what a machine gets that are said to hold; those about tags read no line. */
const holding = (text: string): readonly string[] =>
  RULES.filter((rule) => rule.reads !== 'tags' && holds(text, rule.id)).map(({ id }) => id);

describe('numbers that are worked out', () => {
  it('are told where a job makes them too small, with that job', () => {
    const [f, more] = found('M190 S{{ heat.bed.first - 20 }}', 'bad-number');
    expect(f?.when).toEqual({ 'heat.bed.first': 0 });
    expect(f?.message).toContain('S -20 of M190 is too small');
    expect(more).toBeUndefined();
  });
  it.each([
    'M190 S{{ max(heat.bed.first - 20, 0) }}',
    'M190 S{{ heat.bed.first }}',
    '{{# heat.bed.first > 20 }}M190 S{{ heat.bed.first - 20 }}{{/}}',
    'G1 X{{ part.left - 500 }} F3000',
    'G1 X-{{ part.top }} F3000',
    'M117 {{ filament.kind }}',
  ])('%s: hold', (text) => {
    expect(holds(text, 'bad-number')).toBe(true);
  });
  it.each([
    ['M190 S{{ -20 - heat.bed.first }}', null],
    ['G1 X-{{ heat.bed.first - 40 }} F3000', { 'heat.bed.first': 0 }],
    ['G1 F{{ 10 - heat.chamber }}', { 'heat.chamber': 61 }],
    ['G1 X1{{ 0 - part.top }} F3000', null],
  ])('%s: fail', (text, when) => {
    const [f] = found(text, 'bad-number');
    expect(f).toBeDefined();
    if (when) expect(f?.when).toEqual(when);
  });
  it('are not judged where a name is not known, or a text stands there, which other rules tell', () => {
    for (const text of ['M190 S{{ no.such.name }}', 'M190 S{{ filament.kind }}']) {
      expect(found(text, 'bad-number')).toEqual([]);
      expect(holds(text, 'bad-number')).toBe(false);
    }
  });
});

describe('letters that are filled in where a number belongs', () => {
  it.each([
    'G0 E{{ filament.kind }}',
    'G0 E{{ layer.count != 7 }}',
    // One branch is a number, another is none.
    'G0 E{{ layer.count != 7 || layer.count }}',
    'G0 E{{ layer.count > 7 ? layer.count : filament.kind + 1 }}',
    'G0 E{{ layer.count > 7 && filament.kind }}',
  ])('%s: leave the whole text undecided', (text) => {
    expect(holding(text)).toEqual([]);
    expect(
      of(text)
        .verdict.undecided.map((u) => u.reason)
        .join(),
    ).toContain('filled in as letters');
  });
  it.each([
    'G0 E{{ layer.count || 7 }}',
    'G0 E{{ true ? layer.count : filament.kind }}',
    'G0 E{{ 7 / (layer.count - 3) }}',
    'G0 E{{ layer.count > 7 ? 7 / (layer.count - 9) : 3 }}',
  ])('%s: numbers do not', (text) => {
    expect(of(text).verdict.holds).toBeGreaterThan(30);
  });
});

describe('words that sections leave out', () => {
  it('are missing in the jobs that leave them out', () => {
    expect(found('M104 {{# layer.count > 5 }}S200{{/}}', 'missing-word')[0]?.when).toEqual({ 'layer.count': 1 });
    expect(found('M104 S{{# layer.count > 5 }}200{{/}}', 'missing-word')[0]?.when).toEqual({ 'layer.count': 1 });
    expect(holds('M104 {{# layer.count > 5 }}S200{{/}}{{^ layer.count > 5 }}S190{{/}}', 'missing-word')).toBe(true);
  });
  it('of commands that exclude each other on one line belong to their own', () => {
    const text = '{{# layer.count > 5 }}M104 S200{{/}} {{^ layer.count > 5 }}T0{{/}}';
    expect(
      of(text)
        .commands.map(({ code }) => code)
        .sort(),
    ).toEqual(['M104', 'T']);
    expect(found(text, 'unknown-word')).toEqual([]);
  });
  it('are decided each way where the command hangs on them', () => {
    const text = (x: number) => `G28\n{{# layer.count > 5 }}G0{{/}}{{^ layer.count > 5 }}G1{{/}} X${x} F3000`;
    expect(holding(text(5))).toContain('beyond-reach');
    expect(holding(text(305))).not.toContain('beyond-reach');
    expect(found(text(5), 'missing-word')).toEqual([]);
  });
});

describe('tags without a letter', () => {
  it('are told where they become a number', () => {
    expect(found('G28\n{{ heat.bed.first }}', 'stray-text')).toHaveLength(1);
    expect(found('G1 {{ layer.first }} F600', 'stray-text')).toHaveLength(1);
  });
  it('leave the whole text undecided where they may become commands', () => {
    expect(holding('G28\n{{ filament.kind }}')).toEqual([]);
  });
});

describe('tools', () => {
  it('that the machine does not have are told, by number and by placeholder', () => {
    const [f, more] = found('M104 S210 T1', 'no-such-tool');
    expect(f?.when).toBeNull();
    expect(f?.message).toContain('Dotterel 204 has one tool, which is T0, so there is no tool 1.');
    expect(more).toBeUndefined();
    expect(found('T{{ tool.number + 1 }}', 'no-such-tool')).toHaveLength(1);
    expect(holds('T{{ tool.number }}\nM104 S210 T0', 'no-such-tool')).toBe(true);
    expect(holds('T-1', 'no-such-tool')).toBe(true);
  });
  it('take nothing away from what is too hot', () => {
    expect(found('M104 S300 T1', 'too-hot')).toHaveLength(1);
    expect(found('M104 S{{ heat.nozzle.first + 30 }} T1', 'too-hot')).toHaveLength(1);
  });
});

describe('without a machine', () => {
  const before = 'G21\nG90\nM83\nG28\nM190 S60\n';
  const after = 'G1 X20 Y5 F6000\nG1 Z0.3 F600\nG1 X120 E9 F1200\n';
  it.each([
    '{{# tools }}\nM109 S{{ temperature.first }} T{{ number }}\n{{/ tools }}\nT{{ tool.number }}\n',
    '{{# tools }}\nT{{ number }}\nM109 S{{ temperature.first }} T{{ number }}\n{{/ tools }}\n',
    'T{{ tool.number }}\nM109 S{{ heat.nozzle.first }} T{{ tool.number }}\n',
    'T4\nM109 S210 T4\n',
    'M109 S210\nT4\n',
  ])('%s heats what is in use, or nobody knows', (heats) => {
    expect(found(before + heats + after, 'cold-extrusion', null)).toEqual([]);
  });
  it('a tool that is picked and heated is hot, and one that is not is cold', () => {
    expect(holds(`${before}T4\nM109 S210 T4\n${after}`, 'cold-extrusion', null)).toBe(true);
    expect(holds(`${before}M109 S210\nT4\n${after}`, 'cold-extrusion', null)).toBe(false);
    expect(found(before + after, 'cold-extrusion', null)).not.toEqual([]);
  });
});

describe('a wait for a bed', () => {
  it('that a job leaves off is told where no temperature is given, and by no severity above info', () => {
    const [f] = found('G28\nM140 S{{ heat.bed.first }}\nM190\nM109 S210', 'wait-without-target');
    expect(f).toMatchObject({ severity: 'info', when: { 'heat.bed.first': 0 } });
    expect(holds('G28\nM190 S{{ heat.bed.first }}\nM109 S210', 'wait-without-target')).toBe(true);
  });
});

describe('the end of the program', () => {
  it('is told where a section behind it is filled in', () => {
    const text = 'G28\n{{# layer.count > 5 }}M30{{/}}\n{{# heat.bed.first > 0 }}\nM116\n{{/}}\n';
    const { findings } = analyze(text, 'program', ONE, vocabularyFor(ONE));
    expect(findings.filter((f) => f.rule === 'after-end')).toHaveLength(1);
  });
});

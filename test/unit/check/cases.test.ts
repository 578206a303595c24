import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from '../rules/support.ts';

// Sections that exclude one another, of which one always applies: the run over all jobs joins them and leaves open what
// each case by itself decides.

const EGRET = fixtureMachine('egret');
const TWIN = fixtureMachine('twin');
const own = readVocabulary(
  JSON.stringify({
    names: {
      fast: { kind: 'flag', meaning: 'In a hurry.' },
      plate: { kind: 'text', choices: ['smooth', 'rough'], meaning: 'Plate.' },
    },
  }),
).vocabulary;

const on = (machine: Machine | null, text: string, role: Role = 'start') =>
  analyze(text, role, machine, vocabularyFor(machine, own));
const undecided = (rule: string, a: ReturnType<typeof on>): boolean => a.verdict.undecided.some((u) => u.rule === rule);
const found = (rule: string, a: ReturnType<typeof on>): boolean => a.findings.some((f) => f.rule === rule);

const MOVE = 'G1 X20 Y20 Z5 F3000\n';
/** Homes in each of these sections, and moves behind them. */
const homes = (...sections: string[]): string =>
  `G21\nG90\n${sections.map((open) => `${open}\nG28\n{{/}}\n`).join('')}${MOVE}M109 S210\n`;

describe('sections of which one always applies', () => {
  it.each([
    ['each tool', TWIN, homes('{{# tool.number == 0 }}', '{{# tool.number == 1 }}')],
    ['a flag, twice', EGRET, homes('{{# fast }}', '{{# !fast }}')],
    ['each choice', EGRET, homes("{{# plate == 'smooth' }}", "{{# plate == 'rough' }}")],
    ['one text and any other', EGRET, homes("{{# filament.kind == 'PLA' }}", "{{# filament.kind != 'PLA' }}")],
    [
      'below, at and above a number',
      EGRET,
      homes('{{# layer.count < 7 }}', '{{# layer.count == 7 }}', '{{# layer.count > 7 }}'),
    ],
  ])('%s: it is homed in every job', (_, machine, text) => {
    const a = on(machine, text);
    expect(found('not-homed', a)).toBe(false);
    expect(undecided('not-homed', a)).toBe(false);
    expect(a.open.filter(({ rule }) => rule === 'not-homed')).toEqual([]);
  });

  it.each([
    ['one tool', TWIN, homes('{{# tool.number == 0 }}')],
    ['one text of several', EGRET, homes("{{# filament.kind == 'PLA' }}", "{{# filament.kind == 'ABS' }}")],
    ['not at the number', EGRET, homes('{{# layer.count < 7 }}', '{{# layer.count > 7 }}')],
  ])('%s: not in every job, which is found', (_, machine, text) => {
    expect(found('not-homed', on(machine, text))).toBe(true);
  });

  it('a text that is asked otherwise too is no matter of cases', () => {
    const a = on(
      EGRET,
      homes("{{# filament.kind == 'PLA' }}", "{{# filament.kind < 'PLA' || filament.kind > 'PLA' }}"),
    );
    expect(undecided('not-homed', a)).toBe(true);
  });
});

describe('the tools of a job', () => {
  const PLACE = 'G1 X40 Y40 F3000\nG1 X60 E2 F1200\n';
  const HEATED = 'G21\nG90\nM83\nG28\n{{# tools }}\nM109 T{{ number }} S210\n{{/}}\n';
  const isOpen = (rule: string, a: ReturnType<typeof on>): boolean => found(rule, a) || undecided(rule, a);

  it('are as many in each of its sections: what one pulls back, the next one pushes again', () => {
    const each = (line: string): string => `{{# tools }}\n${line}\n{{/}}\n`;
    const head = 'G21\nG90\nM83\nG28\nT0\nM109 S210\n';
    expect(isOpen('unretract-missing', on(TWIN, `${head}${each('G1 E-3 F1800')}${each('G1 E3 F1800')}`))).toBe(false);
    expect(isOpen('unretract-missing', on(TWIN, `${head}${each('G1 E-3 F1800')}${each('G1 E1 F1800')}`))).toBe(true);
  });

  it('hold the tool in use: where each was heated, it was', () => {
    expect(isOpen('cold-extrusion', on(TWIN, `${HEATED}T{{ tool.number }}\n${PLACE}`))).toBe(false);
    const ifFirst = `{{# tool.number == 0 }}\nT0\n${PLACE}{{/}}\nT{{ tool.number }}\n`;
    expect(isOpen('cold-extrusion', on(TWIN, `${HEATED}${ifFirst}`))).toBe(false);
  });

  it('need not hold another one, which is found with a job', () => {
    const { findings } = on(TWIN, `${HEATED}T1\n${PLACE}T{{ tool.number }}\n`);
    const jobs = findings.filter(({ rule }) => rule === 'cold-extrusion').map(({ when }) => when);
    expect(jobs.length).toBeGreaterThan(0);
    for (const job of jobs) expect(job).toMatchObject({ tools: 1 });
  });
});

describe('the tool in use, in no section', () => {
  const COOLS = 'M83\nG1 E-2 F1800\nM104 S140\nM0\n';
  const PAUSE = `${COOLS}M109 S{{ heat.nozzle.later }}\nG1 E2 F1800\nM82\n`;
  const SWAP = `M104 T{{ tool.number }} S150\nT{{ tool.next }}\nM109 T{{ tool.next }} S{{ heat.nozzle.later }}\n`;

  it.each<[string, Role, string]>([
    ['a pause that heats it again', 'pause', PAUSE],
    ['a layer change that sets the heat of the job', 'layer', 'M104 S{{ heat.nozzle.later }}\n'],
    ['a swap that heats the next tool', 'swap', SWAP],
  ])('%s does not go on cold, whichever it is', (_, role, text) => {
    const a = on(TWIN, text, role);
    expect(found('goes-on-cold', a)).toBe(false);
    expect(undecided('goes-on-cold', a)).toBe(false);
    expect(a.open.filter(({ rule }) => rule === 'goes-on-cold')).toEqual([]);
  });

  it.each<[string, Role, string]>([
    ['a pause that does not wait', 'pause', 'M104 S150\nM0\nM104 S{{ heat.nozzle.later }}\n'],
    [
      'a swap that heats the tool put away',
      'swap',
      SWAP.replace('M109 T{{ tool.next }}', 'M109 T{{ tool.number }}').replace('\n', '\nM104 T{{ tool.next }} S0\n'),
    ],
  ])('%s does, which is found', (_, role, text) => {
    expect(found('goes-on-cold', on(TWIN, text, role))).toBe(true);
  });
});

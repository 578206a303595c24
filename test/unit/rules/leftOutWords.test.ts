import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { machineOf } from '../analyze/machines.ts';

// A word in a section of its own is there in some jobs only: each rule has to judge the command by the words that it has
// in the job, and to say of all jobs what both kinds of jobs say. The text without the word is the measure.

const MACHINE = machineOf({
  name: 'Dotterel 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188, bottom: 0, top: 226 },
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 287, minExtrude: 172 }, bed: { max: 113 }, chamber: { max: 61 } },
  speed: { x: 170, y: 170, z: 14, e: 43 },
});

const findings = (text: string, role: Role, rule: string) =>
  analyze(text, role, MACHINE, vocabularyFor(MACHINE)).findings.filter((f) => f.rule === rule);

/** By rule: a text in which the word between the bars may be left out, and breaks the rule only where it is. */
const ONLY_WITHOUT: readonly (readonly [string, Role, string])[] = [
  ['feed-too-fast', 'start', 'G21\nG90\nM83\nG28\nM109 S209\nG1 F4740\nG1 |Y44.6| E7.3'],
  ['cold-allowed', 'start', 'M302 |S196|'],
  ['no-feed', 'start', 'G21\nG90\nG28\nG1 X63.4 |F2520|'],
];

/** The same, where the rule is broken only with the word. */
const ONLY_WITH: readonly (readonly [string, Role, string])[] = [
  ['heater-protection', 'start', 'M301 |P19.4|'],
  ['feed-mm-s', 'start', 'G21\nG90\nG28\nG1 F90\nG1 X131.2 |F93|'],
  ['e-not-zeroed', 'start', 'G21\nG90\nM82\nG28\nM109 S209\nG1 X63.4 |E5.6| F1260'],
  ['e-mode-unset', 'start', 'G21\nG90\nG28\nM109 S209\nG1 X63.4 |E5.6| F1260'],
  ['e-mode-left', 'pause', 'M83\nG1 |E-1.7| F1380'],
];

const written = (text: string, word: (word: string) => string): string =>
  text.replace(/\|(.*)\|/, (_, one: string) => word(one));

describe.each([
  ['only where a word is left out', ONLY_WITHOUT, true],
  ['only where a word is there', ONLY_WITH, false],
])('broken %s', (_, rows, without) => {
  it.each(rows)('%s', (rule, role, text) => {
    // The measure: the text as one kind of job has it, and as the other.
    expect(
      findings(
        written(text, () => ''),
        role,
        rule,
      ).length > 0,
    ).toBe(without);
    expect(
      findings(
        written(text, (w) => w),
        role,
        rule,
      ).length > 0,
    ).toBe(!without);
    const open = written(text, (w) => `{{# layer.count > 7 }}${w}{{/}}`);
    // Told with a job: neither of all jobs nor of none.
    const [found] = findings(open, role, rule);
    expect(found?.when).toBeDefined();
    expect(found?.when).not.toBeNull();
    expect(Number(found?.when?.['layer.count']) > 7).toBe(!without);
    // Where no job has the word, or each has it, the section changes nothing.
    for (const [condition, there] of [
      ['layer.count < 1', false],
      ['layer.count >= 1', true],
    ] as const) {
      const settled = written(text, (w) => `{{# ${condition} }}${w}{{/}}`);
      expect(findings(settled, role, rule).map((f) => f.when)).toEqual(there === without ? [] : [null]);
    }
  });
});

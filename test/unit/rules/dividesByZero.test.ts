import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from './support.ts';

const EGRET = fixtureMachine('egret');
const HEAD = 'G21\nG90\nG28\nM109 S{{ heat.nozzle.first }}\n';
const RULE = 'divides-by-zero';

/** Whether the rule fails, is undecided, or holds for every job. */
function verdict(text: string, machine: typeof EGRET | null = EGRET): 'fails' | 'undecided' | 'holds' {
  const a = analyze(`${HEAD}${text}\n`, 'start', machine, vocabularyFor(machine));
  if (a.findings.some((f) => f.rule === RULE)) return 'fails';
  return a.verdict.undecided.some((u) => u.rule === RULE) ? 'undecided' : 'holds';
}

describe('divides-by-zero: what is said of every job', () => {
  it.each([
    ['G4 S{{ 60 / heat.bed.first }}', 'fails'],
    ['G4 S{{ 60 / (heat.bed.first - 60) }}', 'fails'],
    ['G4 S{{ 60 / max(heat.bed.first, 1) }}', 'holds'],
    ['{{# heat.bed.first > 0 }}\nG4 S{{ 60 / heat.bed.first }}\n{{/}}', 'holds'],
    ['{{^ heat.bed.first <= 0 }}\nG4 S{{ 60 / heat.bed.first }}\n{{/}}', 'holds'],
    ['{{# heat.bed.first > -5 }}\nG4 S{{ 60 / heat.bed.first }}\n{{/}}', 'fails'],
    ['{{# heat.bed.first > 30 }}\nG4 S{{ 60 / (heat.bed.first - 20) }}\n{{/}}', 'holds'],
    ['{{# part.top > 5 }}\nG4 S{{ 60 / heat.bed.first }}\n{{/}}', 'fails'],
    ['G4 S60', 'holds'],
    ['G4 S{{ 60 / no.such }}', 'undecided'],
  ])('%s: %s', (text, wanted) => {
    expect(verdict(text)).toBe(wanted);
  });

  it('a divisor of which nothing is known is undecided, and nobody is blamed for its usual value', () => {
    expect(verdict('G4 S{{ 60 / bed.left }}', null)).toBe('undecided');
  });

  it('the finding names the job', () => {
    const { findings } = analyze(
      `${HEAD}G4 S{{ 60 / (2 * heat.bed.first - 75) }}\n`,
      'start',
      EGRET,
      vocabularyFor(EGRET),
    );
    expect(findings.find((f) => f.rule === RULE)?.when).toEqual({ 'heat.bed.first': 37.5 });
  });
});

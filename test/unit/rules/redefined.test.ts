import { describe, expect, it } from 'vitest';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { safeFixes } from '../../../server/src/service/fixAll.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine } from './support.ts';

const EGRET = fixtureMachine('egret');
const run = (text: string, role: Role, machine: Machine) => analyze(text, role, machine, vocabularyFor(machine));
const rules = (text: string, role: Role, machine: Machine): string[] =>
  run(text, role, machine).findings.map(({ rule }) => rule);

/** A machine whose file says that these codes do something of its own: nothing that the trace follows. */
const withOwn = (...names: string[]): Machine => ({
  ...EGRET,
  commands: names.map((name) => ({ name, meaning: 'Blinks the lamp.', words: [], effects: [] })),
});

/** A code, the rule that knows it by its usual meaning, and a text in which it fires. */
const BY_NAME: readonly (readonly [string, string, Role, string])[] = [
  ['G29', 'level-before-home', 'start', 'G21\nG90\nG29\nG28\n'],
  ['G29', 'level-lost', 'start', 'G21\nG90\nG28\nG29\nG28\n'],
  ['G29', 'cold-probing', 'start', 'G21\nG90\nG28\nG29\nM190 S60\n'],
  ['M500', 'stored-settings', 'start', 'G21\nG90\nG28\nM500\n'],
  ['M112', 'reset-in-sequence', 'end', 'M112\n'],
  ['M211', 'limits-off', 'start', 'G21\nG90\nG28\nM211\n'],
  ['M302', 'cold-allowed', 'start', 'G21\nG90\nG28\nM302\n'],
  ['M303', 'heater-protection', 'start', 'G21\nG90\nG28\nM303\n'],
  ['M2', 'after-end', 'end', 'M2\nM84\n'],
];

describe('a code that the machine file gives another meaning', () => {
  it.each(BY_NAME)('%s is no business of %s any more', (code, rule, role, text) => {
    const usual = text.replace('M211\n', 'M211 S0\n');
    expect(rules(usual, role, EGRET)).toContain(rule);
    expect(rules(text, role, withOwn(code))).not.toContain(rule);
  });
});

describe('numbered lines', () => {
  it('no fix that adds a row is made unseen', () => {
    const plain = 'G21\nG90\nG28\nG91\nG1 Z5 F600\nM104 S210\n';
    const numbered = plain.replace(/^(.)/gm, (_, first: string, at: number) => `N${at + 1} ${first}`);
    const titles = (text: string) => safeFixes(run(text, 'start', EGRET)).map(({ fix }) => fix.title);
    expect(titles(plain)).toContain('Add G90 at the end');
    expect(titles(numbered)).toEqual([]);
  });
});

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { roleOfName } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { fixtureMachine, unmark } from './support.ts';

const FOLDER = new URL('../../fixtures/rules/', import.meta.url);
const NAME = /^([a-z0-9-]+)\.usual-\d+\.([a-z]+)\.([a-z]+)\.gcode$/;
const USUAL = readdirSync(FOLDER).filter((name) => NAME.test(name));

// Sequences that ordinary practitioners write, kept since the rule in their name once said too much. What is said of
// each stands in its marks, which fixtures.test.ts checks.
describe('usual sequences', () => {
  it('are there', () => expect(USUAL.length).toBeGreaterThan(20));

  it.each(USUAL)('%s: no error, no warning of its rule, and nothing left open by it', (name) => {
    const [, rule = '', machineName = ''] = NAME.exec(name) ?? [];

    const machine = fixtureMachine(machineName);
    const text = unmark(readFileSync(new URL(name, FOLDER), 'utf8'));
    const { findings, open } = analyze(text, roleOfName(name), machine, vocabularyFor(machine));
    expect(findings.filter((f) => f.severity === 'error')).toEqual([]);
    expect(findings.filter((f) => f.rule === rule && f.severity === 'warning')).toEqual([]);
    expect(open.filter((f) => f.rule === rule)).toEqual([]);
  });
});

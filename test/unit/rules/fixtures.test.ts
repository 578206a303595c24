import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { RULES } from '../../../server/src/rules/all.ts';
import { pageOf } from '../../../server/src/rules/pages/all.ts';
import { exampleMachine } from '../../../server/src/service/exampleMachine.ts';
import { roleOfName } from '../../../server/src/syntax/role.ts';
import { findingsOn, fixtureMachine, mark, unmark } from './support.ts';

const FOLDER = new URL('../../fixtures/rules/', import.meta.url);
const files = readdirSync(FOLDER).filter((name) => name.endsWith('.gcode'));

/** `off-bed.round.lens.start.gcode`: rule, what it shows, machine (or `none`), role. */
describe('rule fixtures: every finding is marked, and every mark is found (UPDATE=1 rewrites them)', () => {
  it.each(files)('%s', (name) => {
    const machineName = name.split('.').at(-3) ?? '';
    const machine = machineName === 'none' ? null : fixtureMachine(machineName);
    const url = new URL(name, FOLDER);
    const fixture = readFileSync(url, 'utf8');
    const text = unmark(fixture);
    const marked = mark(text, findingsOn(text, roleOfName(name), machine));
    if (process.env.UPDATE === '1' && !process.env.CI) writeFileSync(url, marked);
    else expect(marked).toBe(fixture);
  });

  it.each(RULES.map((rule) => rule.id))('%s has a fixture that breaks it and one that it accepts', (id) => {
    const own = files
      .filter((name) => name.startsWith(`${id}.`))
      .map((name) => readFileSync(new URL(name, FOLDER), 'utf8'));
    expect(own.some((text) => text.includes(` ${id}: `))).toBe(true);
    expect(own.some((text) => !text.includes(` ${id}: `))).toBe(true);
  });
});

describe('the examples of each rule', () => {
  it.each(RULES.map((rule) => [rule.id, rule] as const))('%s', (id, rule) => {
    const { why, bad, good, otherwise } = pageOf(rule);
    const { machine } = exampleMachine(otherwise);
    expect(findingsOn(bad.text, bad.role, machine).map((f) => f.rule)).toContain(id);
    expect(findingsOn(good.text, good.role, machine).filter((f) => f.rule === id)).toEqual([]);
    expect(rule.title).not.toMatch(/\.$/);
    expect(why.length).toBeGreaterThan(80);
  });

  it('have ids of their own', () => expect(new Set(RULES.map((r) => r.id)).size).toBe(RULES.length));
});

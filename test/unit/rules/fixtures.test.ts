import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { RULES } from '../../../server/src/rules/all.ts';
import { pageOf } from '../../../server/src/rules/pages/all.ts';
import { exampleMachine } from '../../../server/src/service/exampleMachine.ts';
import { roleOfName } from '../../../server/src/syntax/role.ts';
import { findingsOn, fixtureMachine, mark, rows, unmark } from './support.ts';

const FOLDER = new URL('../../fixtures/rules/', import.meta.url);
const files = readdirSync(FOLDER).filter((name) => name.endsWith('.gcode'));

const UPDATE = process.env.UPDATE === '1' && !process.env.CI;

const known = new Map<string, ReturnType<typeof findIn>>();

/** What is found in a fixture, looked for once: by the rule that it is about, and by others. */
function foundIn(name: string) {
  const found = known.get(name) ?? findIn(name);
  known.set(name, found);
  return found;
}

function findIn(name: string) {
  const machineName = name.split('.').at(-3) ?? '';
  const machine = machineName === 'none' ? null : fixtureMachine(machineName);
  const fixture = readFileSync(new URL(name, FOLDER), 'utf8');
  const text = unmark(fixture);
  const found = findingsOn(text, roleOfName(name), machine);
  const isOwn = ({ rule }: { readonly rule: string }): boolean => rule === name.split('.')[0];
  return { fixture, text, own: found.filter(isOwn), others: found.filter((one) => !isOwn(one)) };
}

/** `off-bed.round.lens.start.gcode`: the rule that it is about, what it shows, machine (or `none`), role. */
describe('rule fixtures: every finding of its rule is marked, and every mark is found (UPDATE=1 rewrites them)', () => {
  it.each(files)('%s', (name) => {
    const { fixture, text, own } = foundIn(name);
    const marked = mark(text, own);
    if (UPDATE) writeFileSync(new URL(name, FOLDER), marked);
    else expect(marked).toBe(fixture);
  });

  it('what other rules say of them is what others.txt lists, and nothing else (UPDATE=1 rewrites it)', () => {
    const listed = files
      .toSorted()
      .map((name) => ({ name, ...foundIn(name) }))
      .filter(({ others }) => others.length > 0)
      .map(({ name, text, others }) => `${name}\n${rows(text, others).join('')}`)
      .join('');
    const url = new URL('others.txt', FOLDER);
    if (UPDATE) writeFileSync(url, listed);
    else expect(listed).toBe(readFileSync(url, 'utf8'));
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

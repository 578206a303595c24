import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { IN_PART } from '../../../server/src/check/part.ts';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import { pageOf } from '../../../server/src/rules/pages/all.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { exampleMachine } from '../../../server/src/service/exampleMachine.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { fixesOf } from '../../../server/src/service/fixes.ts';
import { newNameFault } from '../../../server/src/service/rename.ts';
import { type Role, roleOfName } from '../../../server/src/syntax/role.ts';
import { applyEdits } from '../../../server/src/text/edit.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { some } from '../../quick/share.ts';
import { fixtureMachine, unmark } from '../rules/support.ts';
import { machineOf } from './machines.ts';

// A text that is too long is checked in part. Here the budget is made small instead of the text large.

const placeOf = ({ rule, span }: Analysis['findings'][number]): string => `${rule} ${span.start} ${span.end}`;

/** Checks the first part of a text, for several lengths, and compares with what is said of the whole. */
function compare(text: string, role: Role, machine: Machine | null, budgets: readonly number[]): void {
  const vocabulary = vocabularyFor(machine);
  const said = new Set(analyze(text, role, machine, vocabulary).findings.map(placeOf));
  for (const most of budgets) {
    const part = analyze(text, role, machine, vocabulary, { most, token: 1, tag: 3 });
    const { rest } = part.tree;
    if (!rest) continue;
    const others = part.findings.filter(({ rule }) => rule !== IN_PART);
    expect(part.findings.length - others.length).toBe(1);
    for (const one of others)
      if (!said.has(placeOf(one))) throw new Error(`${one.rule} in ${text.slice(0, rest.start)}: ${one.message}`);
    expect(part.verdict.holds).toBe(0);
  }
}

describe('what is said of a part holds for the whole', () => {
  it.each(some(RULES).map((rule) => [rule.id, rule] as const))('%s: its examples, cut anywhere', (_, rule) => {
    const { bad, good, otherwise } = pageOf(rule);
    const { machine } = exampleMachine(otherwise);
    for (const { role, text } of [bad, good]) {
      // What stands further down may put right what the first part leaves.
      for (const whole of [text, `${text}${good.text}`]) {
        const budgets = Array.from({ length: Math.ceil(whole.length / 4) }, (_, i) => 1 + i * 4);
        compare(whole, role, machine, budgets);
      }
    }
  });

  const FOLDER = new URL('../../fixtures/rules/', import.meta.url);
  const files = readdirSync(FOLDER).filter((name) => name.endsWith('.gcode'));
  it.each(some(files))('%s, cut in four places', (name) => {
    const machineName = name.split('.').at(-3) ?? '';
    const text = unmark(readFileSync(new URL(name, FOLDER), 'utf8'));
    const machine = machineName === 'none' ? null : fixtureMachine(machineName);
    const places = [0.2, 0.4, 0.6, 0.8].map((share) => Math.floor(share * text.length));
    compare(text, roleOfName(name), machine, places);
  });
});

const PLOVER = machineOf({ name: 'Plover 204', bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 } });
const VOCABULARY = vocabularyFor(PLOVER);
const upTo = (text: string, most: number, role: Role = 'start'): Analysis =>
  analyze(text, role, PLOVER, VOCABULARY, { most, token: 1, tag: 3 });

describe('a text that is checked in part', () => {
  const LINES = 'G1 X{{ part.left }} F6000\n';

  it('says how much was checked, and where the rest begins', () => {
    const a = upTo(LINES.repeat(2000), 1200);
    const [note] = a.findings.filter(({ rule }) => rule === IN_PART);
    expect(a.tree.lines).toHaveLength(a.tree.rest ? a.tree.rest.start / LINES.length + 1 : 0);
    expect(note?.span.start).toBe(a.tree.rest?.start);
    expect(note?.message).toContain(`up to line ${(a.tree.rest?.start ?? 0) / LINES.length} of 2,001`);
    expect(a.tree.tokens.count).toBeLessThanOrEqual(1201);
    expect(a.tree.tokens.ends[a.tree.tokens.count - 1]).toBe(a.tree.text.length);
  });

  it('says nothing of sections that may be closed further down, and everything of those that cross', () => {
    const open = upTo(`{{# part.left }}\n${LINES.repeat(200)}{{/}}\n`, 300);
    expect(open.tree.problems).toEqual([]);
    const crossed = upTo(`{{# part.left }}{{# part.top }}{{/ part.left }}{{/ part.top }}\n${LINES.repeat(200)}`, 300);
    expect(crossed.tree.problems.map(({ kind }) => kind)).toContain('crossed-sections');
  });

  it('cuts at a line, also where a tag runs over several', () => {
    const a = upTo(`G28\nG1 X{{ part.left\n+ 5 }} Y{{\npart.front }}\n${LINES.repeat(50)}`, 14);
    expect(a.tree.rest?.start).toBe(4);
    expect(upTo(`${'G1 X5 '.repeat(500)}\nG28\n`, 100).findings[0]?.message).toContain('line 1 alone');
    expect(
      upTo('G28\r\nG1 X5\r\n'.repeat(100), 50).tree.text.slice(
        0,
        upTo('G28\r\nG1 X5\r\n'.repeat(100), 50).tree.rest?.start,
      ),
    ).toMatch(/\r\n$/);
  });

  it('is not filled in beyond that, and no name in it is changed', () => {
    const a = upTo(LINES.repeat(200), 300);
    const filled = fillIn(a, VOCABULARY, {}, true);
    expect(filled.text.split('\n')).toHaveLength((a.tree.rest?.start ?? 0) / LINES.length + 1);
    expect(filled.problems.map(({ kind }) => kind)).toContain('long');
    expect(newNameFault(VOCABULARY, 'own.one', 'own.other', [a])).toContain('too long');
  });

  it('keeps what stands behind the part when fixes are made', () => {
    const text = `G28\nM190 S0\n${LINES.repeat(200)}M84\n`;
    const a = upTo(text, 300);
    for (const finding of a.findings)
      for (const { edits } of fixesOf(a, finding)) expect(applyEdits(text, edits)).toMatch(/M84\n$/);
  });

  it('counts only tags in a finished program', () => {
    const plain = analyze('G1 X10 Y20 E0.5\n'.repeat(50_000), 'program', PLOVER, VOCABULARY);
    expect(plain.tree.rest).toBeNull();
  });
});

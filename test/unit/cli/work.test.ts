import { describe, expect, it } from 'vitest';
import { toldOf } from '../../../server/src/cli/report.ts';
import { textReport } from '../../../server/src/cli/wholeText.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Rule } from '../../../server/src/rules/rule.ts';
import { exampleMachine } from '../../../server/src/service/exampleMachine.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { countWork, grownBeyond } from '../../work/counting.ts';

// `check --format json` works out what can be done about each finding. The work of that grows as the text does, for every
// rule's own example over and over: with its lines put on a single one, and as they are.

const onOneLine = ({ bad: { text } }: Rule): string =>
  `${text.replace(/;([^\n]*)/g, (_, said: string) => `(${said.replace(/[()]/g, '')})`).replace(/\n/g, ' ')} `;

const SHAPES = [
  ['on one line', onOneLine],
  ['on lines of its own', ({ bad: { text } }: Rule) => text],
] as const;

const workOf = ({ id, bad: { role } }: Rule, text: string) => {
  const { machine } = exampleMachine(id);
  const found = {
    machine,
    vocabulary: vocabularyFor(machine),
    fault: null,
    note: null,
    path: null,
    names: null,
    text: '',
    unread: null,
    faults: [],
  };
  return countWork(() => toldOf(textReport('a.gcode', null, text, role, found), true));
};

describe.each(SHAPES)('the work of telling all findings with their fixes, %s', (_, textOf) => {
  it.each(RULES.map((rule) => [rule.id, rule] as const))('%s', { timeout: 60_000 }, async (_, rule) => {
    const of = (n: number) => workOf(rule, textOf(rule).repeat(n));
    await of(1); // what is made once
    expect(grownBeyond(await of(80), await of(160))).toEqual([]);
  });
});

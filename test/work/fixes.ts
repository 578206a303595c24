import { describe, expect, it } from 'vitest';
import { toldOf } from '../../server/src/cli/report.ts';
import { textReport } from '../../server/src/cli/wholeText.ts';
import { RULES } from '../../server/src/rules/all.ts';
import { type Page, pageOf } from '../../server/src/rules/pages/all.ts';
import { exampleMachine } from '../../server/src/service/exampleMachine.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';
import { countWork, grownBeyond } from './counting.ts';

// `check --format json` works out what can be done about each finding. The work of that grows as the text does, for every
// rule's own example over and over: with its lines put on a single one, and as they are.

const workOf = ({ bad: { role }, otherwise }: Page, text: string) => {
  const { machine } = exampleMachine(otherwise);
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

/** The tests for one way of writing the examples: in files of their own, so that all cores have work. */
export const fixesGrow = (how: string, textOf: (page: Page) => string): void => {
  describe(`the work of telling all findings with their fixes, ${how}`, () => {
    it.each(RULES.map((rule) => [rule.id, rule] as const))('%s', async (_, rule) => {
      const page = pageOf(rule);
      const of = (n: number) => workOf(page, textOf(page).repeat(n));
      await of(1); // what is made once
      expect(grownBeyond(await of(80), await of(160))).toEqual([]);
    });
  });
};

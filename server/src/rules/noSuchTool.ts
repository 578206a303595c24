import { findRecordWord } from '../commands/record.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import { noMachine, notFollowed } from './blind.ts';
import { ROUNDING } from './computedNumber.ts';
import { withValue, wordOf } from './edits.ts';
import { both, inJobs, isAbove, not } from './jobs.ts';
import type { Rule } from './rule.ts';
import { range } from './say.ts';
import { filledIn, hasKnownNames, numberOfWord, wordsOf } from './words.ts';

/** A tool that the machine does not have. */
export const noSuchTool: Rule = {
  id: 'no-such-tool',
  severity: 'error',
  title: 'A tool that the machine does not have',
  scope: 'line',
  check(view, report) {
    const { machine } = view;
    if (!machine) return;
    const last = Math.max(1, machine.tools) - 1;
    for (const step of view.trace.settings) {
      for (const word of toolWords(step)) {
        const number = numberOfWord(step, word);
        if (number === undefined || (number === null && !hasKnownNames(view, step, word))) continue;
        // Where nothing is filled in behind the letter, no tool is meant: `missing-word` tells that.
        const reading = filledIn(step, word);
        const given = reading ? not(inJobs(reading.isEmpty)) : 'all';
        const happens = both(given, isAbove(number, last + ROUNDING));
        if (happens === 'none') continue;
        const there = last === 0 ? 'has one tool, which is T0' : `has ${last + 1} tools, T0 to T${last}`;
        report({
          span: word.span,
          step,
          certain: happens === 'all',
          message: `${machine.name} ${there}, so there is no tool ${number ? range(number) : 'with such a number'}. Most controllers refuse this or pass over it. Use T${last} or a smaller number, or state how many tools there are in the machine file.`,
        });
      }
    }
  },
  blind: (view) =>
    noMachine(view) ??
    (view.trace.settings.some((step) => toolWords(step).some((word) => !hasKnownNames(view, step, word)))
      ? 'which tool is meant is not known'
      : notFollowed(view)),
  fix(view, finding) {
    const word = wordOf(view, finding);
    if (word?.value?.type !== 'number' || view.machine?.tools !== 1) return [];
    return [{ title: 'Write T0', edits: [withValue(word, '0')], safe: false }];
  },
};

/** The words of a step that give the number of a tool. */
function toolWords(step: Step): readonly Word[] {
  const { record } = step.command;
  if (!record) return [];
  return wordsOf(step).filter(({ key }) => findRecordWord(record, key)?.quantity === 'tool');
}

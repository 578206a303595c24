import { maybeList } from '../commands/quantity.ts';
import { findRecordWord, type WordRecord, writtenCode } from '../commands/record.ts';
import { exact } from '../placeholders/bounds.ts';
import type { WordValue } from '../syntax/nodes.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { computedNumbers, isTaken, outOfRange, unjudged } from './computedNumber.ts';
import { inPieces } from './inPieces.ts';
import type { Rule, View } from './rule.ts';

/** Whether a word takes a number that is written out. */
const takes = (view: View, known: WordRecord, number: number): boolean =>
  isTaken(view, known, { lo: number, hi: number });

/** Numbers with colons between, without quotes. */
const isList = ({ span, text }: Extract<WordValue, { type: 'string' }>): boolean =>
  span.end - span.start === text.length && /^[\d.+-]+:/.test(text);

/** Numbers that the machine reads differently from what was meant, or not at all. */
export const badNumber: Rule = inPieces({
  id: 'bad-number',
  severity: 'error',
  title: 'A number that the machine reads differently from what is meant',
  scope: 'spelling',
  *check(view, report) {
    const pace = new Pace();
    for (const problem of view.tree.problems) if (problem.kind === 'bad-number') report(problem);
    for (const { record, words, code } of view.commands) {
      if (pace.due()) yield;
      if (!record) continue;
      for (const word of words) {
        const known = findRecordWord(record, word.key);
        if (!known || !word.value) continue;
        const command = writtenCode(record, code);
        if (word.value.type === 'string' && !known.text && !(isList(word.value) && maybeList(known.quantity))) {
          const what = isList(word.value) ? 'one number, not several' : 'a number, not a text';
          report({
            span: word.value.span,
            message: `${known.written ?? known.key} of ${command} takes ${what}. It is the ${known.meaning}.`,
          });
        }
        if (word.value.type !== 'number' || takes(view, known, word.value.number)) continue;
        for (const { severity, message } of outOfRange(view, command, known, exact(word.value.number)))
          report({ span: word.value.span, message, ...(severity ? { severity } : {}) });
      }
    }
    yield* computedNumbers(view, report);
  },
  blind: (view) => unjudged(view) ?? notFollowed(view),
});

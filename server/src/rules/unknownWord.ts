import { findRecordWord } from '../commands/record.ts';
import { nearest } from '../text/nearest.ts';
import { Pace } from '../text/pieces.ts';
import { wordOf } from './edits.ts';
import { inPieces } from './inPieces.ts';
import type { Rule } from './rule.ts';
import { didYouMean, inSentence } from './say.ts';
import { strayStarts } from './stray.ts';
import { isWhole, withoutWord } from './takenOut.ts';

/** A word that its command does not take. */
export const unknownWord: Rule = inPieces({
  id: 'unknown-word',
  severity: 'warning',
  title: 'A word that the command does not take',
  why: 'A word that a command does not know is passed over, and so is what it was to say. Often it is a slip of the hand (`M104 P200` for `M104 S200`), or the word belongs to a command on another line.',
  bad: { role: 'start', text: 'G28\nM104 Z200\n' },
  good: { role: 'start', text: 'G28\nM104 S200\n' },
  *check(view, report) {
    const pace = new Pace();
    const stray = strayStarts(view.tree);
    for (const { record, words, code, line } of view.commands) {
      if (pace.due()) yield;
      if (!record || record.freeText || record.openWords) continue;
      for (const word of words) {
        if (word.key === '' || word.span.start > stray(line) || findRecordWord(record, word.key)) continue;
        const taken = record.words.map((w) => w.key);
        const near = word.key.length > 1 ? didYouMean(nearest(word.key, taken)) : '';
        const takes = taken.length > 0 ? `It takes ${taken.join(' ')}.` : 'It takes no words.';
        report({
          span: word.span,
          message: `${code} (${inSentence(record.title)}) does not take ${word.key}. ${takes}${near}`,
        });
      }
    }
  },
  fix(view, finding) {
    const word = wordOf(view, finding);
    return word && isWhole(view, word.span)
      ? [{ title: `Take ${word.key} out`, edits: [withoutWord(view, word)], safe: false }]
      : [];
  },
});

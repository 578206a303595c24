import { type CommandRecord, findRecordWord, writtenCode, writtenKey } from '../commands/record.ts';
import { FURTHER_AXES } from '../machine/machine.ts';
import type { Word } from '../syntax/nodes.ts';
import { nearest } from '../text/nearest.ts';
import { Pace } from '../text/pieces.ts';
import { slice } from '../text/span.ts';
import { wordOf } from './edits.ts';
import { inPieces } from './inPieces.ts';
import type { Rule, View } from './rule.ts';
import { didYouMean, inSentence } from './say.ts';
import { strayStarts } from './stray.ts';
import { isWhole, withoutWord } from './takenOut.ts';

/** A word that its command does not take. */
export const unknownWord: Rule = inPieces({
  id: 'unknown-word',
  severity: 'warning',
  title: 'A word that the command does not take',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const stray = strayStarts(view.tree);
    const refused = view.machine?.controller.furtherWords === 'refused';
    for (const { record, words, code, line } of view.commands) {
      if (pace.due()) yield;
      if (!record || record.freeText || record.openWords || (record.takesMore && !refused)) continue;
      for (const word of words) {
        if (word.key === '' || word.span.start > stray(line) || findRecordWord(record, word.key)) continue;
        if (isAxis(word.key, record, view)) continue;
        const taken = record.words.map((w) => w.key);
        const near =
          word.key.length > 1 ? didYouMean(nearest(word.key, taken).map((key) => writtenKey(record, key))) : '';
        const shown = record.words.map((w) => w.written ?? w.key);
        const takes = taken.length > 0 ? `It takes ${shown.join(' ')}.` : 'It takes no words.';
        report({
          span: word.span,
          ...(refused ? { severity: 'error' } : {}),
          message: `${writtenCode(record, code)} (${inSentence(record.title)}) does not take ${keyAsGiven(view, word)}. ${takes}${near}`,
        });
      }
    }
  },
  fix(view, finding) {
    const word = wordOf(view, finding);
    return word && isWhole(view, word.span)
      ? [{ title: `Take ${keyAsGiven(view, word)} out`, edits: [withoutWord(view, word)], safe: false }]
      : [];
  },
});

/** A further axis beside X of the same command; one that the machine file leaves out where it lists them is none. */
function isAxis(key: string, { words }: CommandRecord, { machine }: View): boolean {
  const axes: readonly string[] = machine?.controller.axes ?? FURTHER_AXES;
  return axes.includes(key) && words.some(({ key }) => key === 'X');
}

/** A key of one letter is a capital everywhere; a longer one is told as the text has it. */
const keyAsGiven = ({ tree }: View, { key, keySpan }: Word): string =>
  key.length === 1 ? key : slice(tree.text, keySpan);

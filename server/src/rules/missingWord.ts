import { findRecordWord } from '../commands/record.ts';
import type { Rule } from './rule.ts';
import { oneOf } from './say.ts';
import { strayStarts } from './stray.ts';

/** A word that its command cannot do without. */
export const missingWord: Rule = {
  id: 'missing-word',
  severity: 'error',
  title: 'A word that the command needs is missing',
  why: 'Without the word the controller refuses the command, does nothing, or takes a value of its own. Write the word with its value.',
  bad: { role: 'start', text: 'G28\nM104\n' },
  good: { role: 'start', text: 'G28\nM104 S200\n' },
  check(view, report) {
    const stray = strayStarts(view.tree);
    for (const { record, words, code, node, line } of view.commands) {
      if (!record || words.some((w) => w.key === '')) continue;
      for (const known of record.words) {
        if (known.required && !words.some((w) => w.key === known.key)) {
          report({ span: node.codeSpan, message: `${code} needs ${known.key}, the ${known.meaning}.` });
        }
      }
      if (record.oneOf && !words.some((w) => record.oneOf?.includes(w.key))) {
        report({
          span: node.codeSpan,
          message: `${code} needs ${oneOf(record.oneOf)}: without any of them it has nothing to work on.`,
        });
      }
      for (const word of words) {
        const known = findRecordWord(record, word.key);
        if (known && !word.value && word.span.start < stray(line) && (known.value ?? 'needed') === 'needed') {
          report({ span: word.span, message: `${word.key} of ${code} needs a value: the ${known.meaning}.` });
        }
      }
    }
    for (const step of view.trace.steps) {
      if (
        step.before.inverseFeed !== false &&
        step.move &&
        step.move.kind !== 'home' &&
        !step.command.words.some((w) => w.key === 'F')
      ) {
        report({
          span: step.command.node.codeSpan,
          step,
          certain: step.before.inverseFeed === true,
          message:
            'In inverse time mode (G93) every move needs an F word of its own (NISTIR 6556 3.5.19): add one, or go back to feed per minute with G94.',
        });
      }
    }
  },
};

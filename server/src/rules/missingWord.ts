import type { BoundCommand } from '../commands/bind.ts';
import { findRecordWord } from '../commands/record.ts';
import { commandAt, withWord } from './edits.ts';
import { tagOf } from './lines.ts';
import type { Rule, View } from './rule.ts';
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
          report({
            span: node.codeSpan,
            about: known.key,
            message: `${code} needs ${known.key}, the ${known.meaning}.`,
          });
        }
      }
      if (record.oneOf && !words.some((w) => record.oneOf?.includes(w.key))) {
        report({
          span: node.codeSpan,
          about: 'one of',
          message: `${code} needs ${oneOf(record.oneOf)}: without any of them it has nothing to work on.`,
        });
      }
      for (const word of words) {
        const known = findRecordWord(record, word.key);
        if (known && !word.value && word.span.start < stray(line) && (known.value ?? 'needed') === 'needed') {
          report({
            span: word.span,
            about: word.key,
            message: `${word.key} of ${code} needs a value: the ${known.meaning}.`,
          });
        }
      }
    }
    const { start, settings } = view.trace;
    if (start.inverseFeed === false && settings.every(({ after }) => after.inverseFeed === false)) return;
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
  fix(view, { span, about }) {
    const command = commandAt(view, span.start);
    const key = about === 'one of' ? command?.record?.oneOf?.[0] : about;
    const value = command && key ? fittingValue(view, command, key) : null;
    if (!command || !key || !value) return [];
    const word = command.words.find((w) => w.key === key);
    const text = `${key}${key.length > 1 ? '=' : ''}${value}`;
    // A bare T is code and word in one.
    const add = command.code === key ? { span: command.node.codeSpan, text } : withWord(command, text);
    return [
      {
        title: `Write ${text}`,
        edits: [word ? { span: word.span, text } : add],
        safe: false,
        preferred: true,
      },
    ];
  },
};

/** What fits where a heater's temperature or a tool's number is missing; null where nothing says what is meant. */
function fittingValue(view: View, { record }: BoundCommand, key: string): string | null {
  for (const effect of record?.effects ?? []) {
    if (effect.do === 'select-tool' && effect.key === key) return tagOf(view, 'tool.number');
    if (effect.do !== 'heat' || (key !== (effect.key ?? 'S') && key !== effect.coolKey)) continue;
    if (view.role === 'end') return '0';
    if (effect.heater === 'chamber') return tagOf(view, 'heat.chamber');
    return tagOf(view, `heat.${effect.heater}.${view.role === 'start' ? 'first' : 'later'}`);
  }
  return null;
}

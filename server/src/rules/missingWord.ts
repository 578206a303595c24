import type { BoundCommand } from '../commands/bind.ts';
import { joinOf } from '../commands/joining.ts';
import { targetKeys } from '../commands/quantity.ts';
import { findRecordWord, writtenCode, writtenKey } from '../commands/record.ts';
import { hasWordFor } from '../commands/wordFor.ts';
import type { Step } from '../simulate/trace.ts';
import type { Line, Word } from '../syntax/nodes.ts';
import { Pace } from '../text/pieces.ts';
import { hasSharedWords } from './bareTags.ts';
import { notFollowed } from './blind.ts';
import { commandAt, withWord } from './edits.ts';
import { inPieces } from './inPieces.ts';
import { inJobs } from './jobs.ts';
import { tagOf } from './lines.ts';
import type { Report, Rule, View } from './rule.ts';
import { oneOf } from './say.ts';
import { strayStarts } from './stray.ts';
import { filledIn, wordsOf } from './words.ts';

/** A word that its command cannot do without. */
export const missingWord: Rule = inPieces({
  id: 'missing-word',
  severity: 'error',
  title: 'A word that the command needs is missing',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const stray = strayStarts(view.tree);
    // A line whose command is chosen by sections: its words stand behind them, and go with whichever it is.
    const chosen = new Set<Line>();
    for (const command of view.commands) {
      if (pace.due()) yield;
      if (hasSharedWords(command)) chosen.add(command.line);
    }
    for (const command of view.commands) {
      if (pace.due()) yield;
      if (!chosen.has(command.line)) for (const found of missing(view, command, command.words, stray)) report(found);
    }
    for (const step of view.trace.dependent) {
      if (pace.due()) yield;
      if (chosen.has(step.command.line)) continue;
      const lacks = missing(view, step.command, lettered(step), stray, step);
      if (lacks.length === 0) continue;
      // A word that is in no job's text has been told above.
      const told = new Set(missing(view, step.command, step.command.words, stray).map(({ about }) => about));
      for (const found of lacks) if (!told.has(found.about)) report({ ...found, step, certain: found.certain ?? true });
    }
    const { start, settings } = view.trace;
    if (start.inverseFeed === false && settings.every(({ after }) => after.inverseFeed === false)) return;
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      if (
        step.before.inverseFeed !== false &&
        step.move &&
        step.move.kind !== 'home' &&
        !hasWordFor({ record: step.command.record, words: wordsOf(step) }, 'feed')
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
  blind: notFollowed,
  fix(view, { span, about }) {
    const command = commandAt(view, span.start);
    const key = about === 'one of' ? command?.record?.oneOf?.[0] : about;
    const value = command && key ? fittingValue(view, command, key) : null;
    if (!command || !key || !value) return [];
    const word = command.words.find((w) => w.key === key);
    const join = command.node.named ? joinOf(view.catalog, view.tree, key) : key.length > 1 ? '=' : '';
    // Nothing says how this controller joins them.
    if (join === null) return [];
    const text = writtenKey(command.record, key) + join + value;
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
});

/**
 * What a command lacks with these words.
 * @param step Where the words are those of one step: sections may have left a word without its value.
 */
function missing(
  { catalog }: View,
  { record, code, node, line }: BoundCommand,
  words: readonly Word[],
  stray: (line: Line) => number,
  step?: Step,
): Report[] {
  if (!record) return [];
  // What stands without a key may be what is missing.
  const loose = words.some((w) => w.key === '');
  if (loose && !(node.named && catalog.named.joins !== null)) return [];
  const found: Report[] = [];
  for (const known of loose ? [] : record.words) {
    if (known.required && !words.some((w) => w.key === known.key))
      found.push({
        span: node.codeSpan,
        about: known.key,
        message: `${writtenCode(record, code)} needs ${known.written ?? known.key}, the ${known.meaning}.`,
      });
  }
  if (!loose && record.oneOf && !words.some((w) => record.oneOf?.includes(w.key)))
    found.push({
      span: node.codeSpan,
      about: 'one of',
      message: `${writtenCode(record, code)} needs ${oneOf(record.oneOf)}: without any of them it has nothing to work on.`,
    });
  for (const word of words) {
    const known = findRecordWord(record, word.key);
    const reading = step && filledIn(step, word);
    const empty = reading ? inJobs(reading.isEmpty) : word.value ? 'none' : 'all';
    if (known && empty !== 'none' && word.span.start < stray(line) && (known.value ?? 'needed') === 'needed')
      found.push({
        span: word.span,
        about: word.key,
        certain: empty === 'all',
        message: `${writtenKey(record, word.key)} of ${writtenCode(record, code)} needs a value: the ${known.meaning}.`,
      });
  }
  return found;
}

/** The words of a step without tags that become a bare number, which is no word (`stray-text`). */
const lettered = (step: Step): readonly Word[] =>
  wordsOf(step).filter((word) => word.key !== '' || filledIn(step, word)?.isNumber !== true);

/** What fits where a heater's temperature or a tool's number is missing; null where nothing says what is meant. */
function fittingValue(view: View, { record }: BoundCommand, key: string): string | null {
  for (const effect of record?.effects ?? []) {
    if (effect.do === 'select-tool' && effect.key === key) return tagOf(view, 'tool.number');
    if (effect.do !== 'heat' || !targetKeys(effect).includes(key)) continue;
    if (view.role === 'end') return '0';
    if (effect.heater === 'chamber') return tagOf(view, 'heat.chamber');
    return tagOf(view, `heat.${effect.heater}.${view.role === 'start' ? 'first' : 'later'}`);
  }
  return null;
}

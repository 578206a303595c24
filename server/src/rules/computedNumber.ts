import { shownCode } from '../commands/bind.ts';
import { findRecordWord, type WordRecord } from '../commands/record.ts';
import type { Known } from '../placeholders/bounds.ts';
import { mayBeNoNumber } from '../placeholders/kinds.ts';
import { shownLimit } from '../placeholders/limited.ts';
import type { Filling } from '../placeholders/tags.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import { Pace, type Pieces } from '../text/pieces.ts';
import { bareTags } from './bareTags.ts';
import { both, inJobs, isAbove, isBelow, type Jobs, not } from './jobs.ts';
import type { Report, Severity, View } from './rule.ts';
import { num, range } from './say.ts';
import { wholeTags } from './unitMismatch.ts';
import { filledIn, hasKnownNames, wordsOf } from './words.ts';

/** What is wrong with a number that a word gets, whoever worked it out. */
export interface OutOfRange {
  readonly happens: Jobs;
  /** `big` and `small` tell apart what one number may be in different jobs. */
  readonly about: 'small' | 'big' | 'full';
  readonly severity?: Severity;
  readonly message: string;
}

/** What a condition narrows, and sums, are rounded; no controller reads so many decimals. */
export const ROUNDING = 1e-6;

const NOTHING: readonly OutOfRange[] = Object.freeze([]);

/** Where a word's number lies outside of what the word takes, or the fan outside of its full speed. `code`: as it is shown. */
export function outOfRange(view: View, code: string, known: WordRecord, number: Known): readonly OutOfRange[] {
  // Nearly every number is as it should be, and no message is made for it.
  if (number && isTaken(view, known, number)) return NOTHING;
  const said = number ? range(number) : 'as it is worked out';
  const key = known.written ?? known.key;
  const of = `${key} ${said} of ${code}`;
  const meaning = `${key} is the ${known.meaning}.`;
  const found: OutOfRange[] = [];
  const { min, max } = known;
  if (min !== undefined)
    found.push({
      happens: isBelow(number, min - ROUNDING),
      about: 'small',
      message: `${of} is too small: it is at least ${num(min)}. ${meaning}`,
    });
  const full = fullFan(view);
  if (known.unit === 'fan' && full !== null)
    found.push({
      happens: isAbove(number, full + ROUNDING),
      about: 'full',
      severity: 'warning',
      message: `${known.key} ${said} is more than full speed, which is ${num(full)} ${view.machine?.controller.fanFull ? `on ${view.machine.name}` : 'at most, on any controller'}. Write ${num(full)} for full speed, or a share of it.`,
    });
  if (max !== undefined)
    found.push({
      happens: isAbove(number, max + ROUNDING),
      about: 'big',
      message: `${of} is too large: it is at most ${num(max)}. ${meaning}`,
    });
  return found.filter(({ happens }) => happens !== 'none');
}

/** The S of M106 that is full speed; where the machine file does not say it, the largest that it is on any controller. */
const fullFan = ({ machine }: View): number | null => (machine ? (machine.controller.fanFull ?? LARGEST_FULL) : null);
const LARGEST_FULL = 255;

/** Whether a word takes every number from `lo` to `hi`. */
export function isTaken(view: View, known: WordRecord, { lo, hi }: { lo: number; hi: number }): boolean {
  const { min, max, unit } = known;
  const most = unit === 'fan' ? fullFan(view) : null;
  return !(min !== undefined && lo < min) && !(max !== undefined && hi > max) && !(most !== null && hi > most);
}

/** Numbers that are filled in: those that are none, and those that the word does not take. */
export function* computedNumbers(view: View, report: (found: Report) => void): Pieces<void> {
  const pace = new Pace();
  for (const step of view.trace.dependent) {
    if (pace.due()) yield;
    if (!step.command.record) continue;
    for (const word of wordsOf(step)) {
      const known = findRecordWord(step.command.record, word.key);
      const reading = filledIn(step, word);
      if (!known || known.text || !reading || isRight(view, known, reading) || !hasKnownNames(view, step, word))
        continue;
      for (const found of faultsOf(view, step, word, known, reading)) report({ ...found, span: valueSpan(word), step });
    }
  }
}

/** Whether what is filled in is a number, and one that the word takes, in every job. */
const isRight = (view: View, known: WordRecord, { number, isNumber }: Filling): boolean =>
  isNumber === true && number !== null && isTaken(view, known, number);

const valueSpan = ({ value, span }: Word): Word['span'] => value?.span ?? span;

function faultsOf(view: View, step: Step, word: Word, known: WordRecord, reading: Filling): Omit<Report, 'span'>[] {
  const there = not(inJobs(reading.isEmpty));
  const isNumber = inJobs(reading.isNumber);
  const found: Omit<Report, 'span'>[] = [];
  const none = both(there, not(isNumber));
  if (none !== 'none' && !isTextOrFlag(view, step, word)) {
    const text =
      reading.text === null ? 'What is filled in' : `“${word.key}${reading.text}” is filled in here, and this`;
    found.push({
      about: 'none',
      certain: none === 'all',
      message: `${text} is no number that a machine can read: it is one sign at most, then digits with at most one point. ${word.key} of ${step.command.code} is the ${known.meaning}. Let one tag work out the whole number, sign included.`,
    });
  }
  for (const { happens, about, severity, message } of outOfRange(view, shownCode(step.command), known, reading.number))
    found.push({
      about,
      ...(severity ? { severity } : {}),
      certain: both(both(there, isNumber), happens) === 'all',
      message: `${message}${advice(view, known, about)}`,
    });
  return found;
}

/** How a number that is worked out is kept within what its word takes. */
function advice({ vocabulary }: View, { min, max }: WordRecord, about: OutOfRange['about']): string {
  const [by, end] = about === 'small' ? (['max', min] as const) : (['min', about === 'big' ? max : undefined] as const);
  const call = end === undefined ? null : shownLimit(vocabulary, by, end);
  return call === null ? '' : ` Keep it there with ${call}.`;
}

/** Whether a text or a flag may stand where a number belongs, which `unit-mismatch` tells. */
function isTextOrFlag({ tree, expressions }: View, { within }: Step, { value }: Word): boolean {
  if (value?.type !== 'filled') return false;
  return wholeTags(value, tree.text).some((tag) => {
    const expr = expressions.get(tag)?.expr;
    return expr ? mayBeNoNumber(expr, within.env) : false;
  });
}

/** Whether an e touches the number before it in the other case than its letter, and either is filled in. */
function isExponent({ tree }: View, step: Step, { key, keySpan, span, value }: Word): boolean {
  if (key !== 'E') return false;
  const before = wordsOf(step).find((word) => word.span.end === span.start && word.value !== null);
  if (!before || (before.value?.type !== 'filled' && value?.type !== 'filled')) return false;
  const isLower = (at: number): boolean => tree.text.charAt(at) >= 'a';
  return isLower(keySpan.start) !== isLower(before.keySpan.start);
}

/** Why some filled-in number cannot be judged; null where each can. */
export function unjudged(view: View): string | null {
  if (bareTags(view).length > 0) return 'what is filled in without a letter in front of it may become part of a number';
  for (const step of view.trace.dependent) {
    if (!step.command.record) continue;
    for (const word of wordsOf(step)) {
      const known = findRecordWord(step.command.record, word.key);
      if (known && isExponent(view, step, word))
        return 'an e stands right behind a number, and may count as its exponent';
      if (!known || known.text) continue;
      const reading = filledIn(step, word);
      if (!reading || (reading.isNumber === true && reading.number !== null)) continue;
      if (!hasKnownNames(view, step, word)) return 'a number that is filled in hangs on a name that is not known';
      if (isTextOrFlag(view, step, word)) return 'what is filled in as a number is none: see unit-mismatch';
    }
  }
  return null;
}

import { type Span, span } from '../text/span.ts';
import type { Literal, StatementShape } from './forms.ts';
import type { Slots } from './nodes.ts';
import { isSpace, isWordChar, type ParserWork, Quotes } from './quotes.ts';
import type { FormSlot, StatementKind } from './tagStyle.ts';

/** A statement as it was found in a tag. */
export interface Statement {
  readonly form: StatementShape['form'];
  readonly slots: Slots;
  /** What it is about: see `Tag.inner`. */
  readonly inner: Span;
  /** Whether all of the form is there. */
  readonly whole: boolean;
}

/** Where a statement may stand: the content of a tag, without outer blanks. */
export interface TagContent extends Span {
  readonly text: string;
  readonly quotes: readonly string[];
  readonly work: ParserWork;
}

/** The statement that the content is; null where it has none of the forms, from the first to the last of it. */
export function statementAt(place: TagContent, forms: readonly StatementShape[]): Statement | null {
  for (const form of forms) {
    const slots = matched(place, form);
    if (slots) return { form: form.form, slots, inner: innerOf(form.form.is, slots, place.end), whole: true };
  }
  return null;
}

/**
 * The statement that the content begins as and does not end as. Where the content may as well be a value, it has to be
 * the words alone, or these and another word.
 */
export function halfStatement(
  place: TagContent,
  forms: readonly StatementShape[],
  mayBeValue: boolean,
): Statement | null {
  const { text, end } = place;
  // The simplest of several is shown.
  for (const { form, lead, rest } of forms.toSorted((a, b) => a.form.form.length - b.form.form.length)) {
    if (rest.length === 0 || !lead.some(({ word }) => word)) continue;
    const behind = runEnd(place, place.start, lead, false);
    if (behind < 0) continue;
    const from = skipBlanks(place, behind);
    if (mayBeValue && from < end && (from === behind || !isNameLike(text.charAt(from)))) continue;
    return { form, slots: {}, inner: span(from, end), whole: false };
  }
  return null;
}

function matched(place: TagContent, { lead, rest }: StatementShape): Slots | null {
  const { start, end } = place;
  let at = lead.length === 0 ? start : runEnd(place, start, lead, false);
  if (at < 0 || (rest.length === 0 && at !== end)) return null;
  const slots: { [slot in FormSlot]?: Span } = {};
  for (const [i, { slot, behind: then }] of rest.entries()) {
    const from = skipBlanks(place, at);
    const found = behindSlot(place, from, then, i === rest.length - 1);
    if (!found) return null;
    const to = blanksBefore(place.text, from, found.slotEnd);
    // While it is typed the last thing of a statement is still missing, and it is one all the same.
    const missing = to === from;
    if (missing ? !(i === rest.length - 1 && lead.length > 0) : isName(slot) && !NAME.test(place.text.slice(from, to)))
      return null;
    slots[slot] = span(from, to);
    at = found.end;
  }
  return slots;
}

const isName = (slot: FormSlot): boolean => slot === 'ITEM' || slot === 'INDEX' || slot === 'NAME';
/** Whatever a language may call a name, without what only expressions have. */
const NAME = /^[^\s"'()[\]{}=<>+*/,;|&!?\\]{1,100}(?: [^\s"'()[\]{}=<>+*/,;|&!?\\]{1,100}){0,9}$/;

/** Where a slot ends, and where the literals behind it do; null where these are not there. */
function behindSlot(
  place: TagContent,
  from: number,
  then: readonly Literal[],
  last: boolean,
): { readonly slotEnd: number; readonly end: number } | null {
  const { text, end, work } = place;
  const [first] = then;
  if (!first) return { slotEnd: end, end };
  const quotes = new Quotes(text, from, end, place.quotes);
  let depth = 0;
  let at = from;
  for (; at < end; at++) {
    const char = text.charAt(at);
    if (depth === 0 && text.startsWith(first.text, at)) {
      const behind = runEnd(place, at, then, true);
      if (behind >= 0 && (!last || skipBlanks(place, behind) === end)) {
        work.steps += at - from;
        return { slotEnd: at, end: behind };
      }
    }
    const quoted = quotes.endOf(at);
    if (quoted > 0) at = quoted - 1;
    else if (char === '(' || char === '[') depth++;
    else if ((char === ')' || char === ']') && depth > 0) depth--;
  }
  work.steps += at - from;
  return null;
}

/** Where literals that begin at `at` end, blanks between them allowed; -1 where they are not there. */
function runEnd(place: TagContent, at: number, run: readonly Literal[], behindSlot: boolean): number {
  const { text, end } = place;
  let i = at;
  for (const [n, { text: literal, word }] of run.entries()) {
    if (n > 0) i = skipBlanks(place, i);
    const to = i + literal.length;
    if (to > end || !text.startsWith(literal, i)) return -1;
    const before = i > place.start ? text.charAt(i - 1) : '';
    const behind = to < end ? text.charAt(to) : '';
    if (word) {
      // In front of the next literal a point may be that literal; elsewhere it goes on with the name.
      if (n < run.length - 1 ? isWordChar(behind) : isNameLike(behind)) return -1;
      if (n === 0 && behindSlot && isNameLike(before)) return -1;
    } else if (literal === '=' && (/[=<>!:+\-*/~]/.test(before) || /[=~>]/.test(behind))) return -1;
    i = to;
  }
  return i;
}

const INNER: Readonly<Record<StatementKind, readonly FormSlot[]>> = {
  if: ['CONDITION', 'VALUE', 'NAME', 'LIST'],
  unless: ['CONDITION', 'VALUE', 'NAME', 'LIST'],
  elseIf: ['CONDITION', 'VALUE', 'NAME', 'LIST'],
  else: [],
  each: ['LIST', 'VALUE', 'NAME'],
  switch: ['VALUE', 'NAME', 'CONDITION'],
  case: ['VALUE', 'CONDITION', 'NAME'],
  set: ['VALUE'],
  include: ['NAME', 'VALUE'],
  end: ['LIST', 'CONDITION', 'NAME', 'VALUE', 'ITEM'],
};

function innerOf(is: StatementKind, slots: Slots, end: number): Span {
  for (const slot of INNER[is]) {
    const found = slots[slot];
    if (found) return found;
  }
  return span(end, end);
}

function skipBlanks({ text, end }: TagContent, from: number): number {
  let i = from;
  while (i < end && isSpace(text.charCodeAt(i))) i++;
  return i;
}

function blanksBefore(text: string, from: number, to: number): number {
  let i = to;
  while (i > from && isSpace(text.charCodeAt(i - 1))) i--;
  return i;
}

/** May go on with a name: a keyword in front of it is only the name's beginning. */
const isNameLike = (char: string): boolean => /[\p{L}\p{N}_$.]/u.test(char);

import type { Span } from '../text/span.ts';
import { isBlank, isDigit } from './chars.ts';
import { isEol, isSpace, isWordChar, type ParserWork } from './quotes.ts';

// Tags that no two ends tell apart from the text around them: bare names, equal ends, whole rows. What is none is left
// to the text, and never told: `50% and 100%`, `#1=5`, a mail address, a lone %.

/**
 * Whether brackets are an expression of RS-274 (NISTIR 6556 3.3.2.3) rather than a tag: figures and parameters without a
 * name, or what one of its functions takes (`SIN[30]`).
 */
export function isBracketOfRs274(text: string, start: number, at: number): boolean {
  const content = text.slice(start + 1, Math.min(at, start + 200));
  return (
    content.includes('#') || !/[\p{L}_]/u.test(content) || FUNCTION.test(text.slice(Math.max(0, start - 6), start))
  );
}

/** The unary operations of RS-274. */
const FUNCTION = /(?:^|[^A-Za-z])(?:abs|acos|asin|atan|cos|exp|fix|fup|ln|round|sin|sqrt|tan)$/i;

/** What may stand in a name between equal ends: letters and digits of any script, and what joins them. */
const NAME = /^[\p{L}\p{N}_$.][\p{L}\p{N}_$.\-[\]'"]*$/u;
/** The same with blanks, as people write names. */
const SPACED = /^[\p{L}_$][^\r\n,;!?]*[\p{L}\p{N}_)\]]$/u;

/** Where the content of a tag with equal ends ends; -1 where the row has no second end. */
export function equalEnd(text: string, end: string, body: number, work: ParserWork): number {
  let i = body;
  while (i < text.length && !isEol(text.charCodeAt(i)) && !text.startsWith(end, i)) i++;
  work.steps += i - body;
  return i > body && text.startsWith(end, i) ? i : -1;
}

/**
 * Whether a name stands between equal ends and touches both. With blanks in it, it is one only where neither end
 * touches a number or a word outside, so that no sentence is torn out of a message.
 */
export function isNameBetween(text: string, start: number, body: number, to: number, end: number): boolean {
  if (to - body > 200) return false;
  const content = text.slice(body, to);
  if (!/\p{L}/u.test(content)) return false;
  if (NAME.test(content)) return true;
  if (!SPACED.test(content)) return false;
  const [before, behind] = [text.charCodeAt(start - 1), text.charAt(end)];
  return !isDigit(before) && !isWordChar(behind) && !isInWord(text, start);
}

/**
 * Whether an expression stands between equal ends, which is looked for only where a value belongs: with calls, choices and
 * whatever else no sentence is written with.
 */
export function isExpressionBetween(text: string, body: number, to: number): boolean {
  if (to - body > 200) return false;
  let content = text.slice(body, to);
  if (!/\p{L}/u.test(content)) return false;
  for (let outer = ''; outer !== content; ) {
    outer = content;
    content = outer.replace(/\([^()]*\)/g, '0');
  }
  return EXPRESSION.test(content);
}

/** Without what stands in its brackets. */
const EXPRESSION = /^[-\p{L}\p{N}_$][^\r\n,;()]*[\p{L}\p{N}_\]'"]$/u;

/** Whether a word of two letters or more ends at `at`, as it does in front of the @ of a mail address. */
export const isInWord = (text: string, at: number): boolean =>
  at >= 2 && /[\p{Ll}\p{N}_.-]/u.test(text.charAt(at - 1)) && /[\p{Ll}_]/u.test(text.charAt(at - 2));

/**
 * Where the bare name that begins at `body` ends: names with points between, and indexes in brackets behind them; -1
 * where none begins there. It ends in front of a G-code word that follows without a blank (`$leftY20`, `$leftY$top`).
 */
export function bareNameEnd(text: string, open: string, body: number, work: ParserWork): number {
  let i = body;
  let small = true;
  if (!/[\p{L}_]/u.test(text.charAt(i))) return -1;
  for (;;) {
    const char = text.charAt(i);
    if (isWordChar(char)) {
      if (small && i > body && isCapital(char) && wordBegins(text, open, i)) break;
      if (isCapital(char)) small = false;
      i++;
    } else if (char === '.' && /[\p{L}_]/u.test(text.charAt(i + 1))) i++;
    else if (char === '[') {
      const end = indexEnd(text, i);
      if (end < 0) break;
      i = end;
    } else break;
  }
  work.steps += i - body;
  return i;
}

const isCapital = (char: string): boolean => char >= 'A' && char <= 'Z';

/** Whether the capital at `at` begins a word of G-code: a number or a tag stands behind it. */
function wordBegins(text: string, open: string, at: number): boolean {
  const signed = /[+-]/.test(text.charAt(at + 1)) ? 1 : 0;
  const from = at + 1 + signed;
  return /^\.?\d/.test(text.slice(from, from + 2)) || text.startsWith(open, from);
}

/** Where `[0]`, `[tool]`, `["a"]` ends; -1 where it is none. */
function indexEnd(text: string, at: number): number {
  const found = /^\[[\p{L}\p{N}_.$'"-]{1,60}\]/u.exec(text.slice(at, at + 64));
  return found ? at + found[0].length : -1;
}

/** Where a bare statement at `body` may end, the longest first: with its brackets, with its word, before a capital. */
export function bareStatementEnds(text: string, open: string, body: number, work: ParserWork): readonly number[] {
  const word = /^[\p{L}_]{1,60}/u.exec(text.slice(body, body + 60))?.[0] ?? '';
  if (word === '') return [];
  const small = /^[\p{Ll}_]+/u.exec(word)?.[0] ?? '';
  const ends = [body + word.length];
  if (small !== '' && small !== word) ends.push(body + small.length);
  let i = body + word.length;
  while (isBlank(text.charCodeAt(i))) i++;
  if (text.charAt(i) === '(') {
    const group = bracketsEnd(text, open, i);
    work.steps += Math.abs(group) - i;
    if (group > 0) ends.unshift(group);
  }
  return ends;
}

/** Where the brackets that open at `at` are closed; where they are not before the row ends or the next statement opens some, that place as a negative number. */
function bracketsEnd(text: string, open: string, at: number): number {
  let depth = 0;
  let i = at;
  for (; i < text.length && !isEol(text.charCodeAt(i)); i++) {
    const c = text.charCodeAt(i);
    if (c === 40) depth++;
    else if (c === 41 && --depth === 0) return i + 1;
    else if (text.startsWith(open, i) && /^[\p{L}_]{1,30}\(/u.test(text.slice(i + open.length, i + open.length + 32)))
      break;
  }
  return -i;
}

/** Whether nothing but blanks stands in front of a place on its row, and nothing that was read before reaches into it. */
export function beginsRow(text: string, at: number, readUntil: number): boolean {
  let i = at;
  while (i > readUntil && isBlank(text.charCodeAt(i - 1))) i--;
  if (i === 0) return true;
  const c = text.charCodeAt(i - 1);
  return isEol(c) || (i === 1 && c === 0xfeff);
}

/** Where the name that begins at `from` ends. */
export function wordEnd(text: string, from: number): number {
  let i = from;
  while (i < text.length && /[\p{L}\p{N}_.]/u.test(text.charAt(i))) i++;
  return i;
}

/** Whether a value belongs at a place that is in no comment: a capital that begins a word, or =, stands directly before it. */
export function isValuePlace(text: string, at: number): boolean {
  const [letter, before] = [text.charAt(at - 1), text.charAt(at - 2)];
  return letter === '=' || (isCapital(letter) && !/[\p{L}_]/u.test(before));
}

/** How far comments have been looked for, and which sign of one that is not over stands on the row there; 0 for none. */
export interface CommentScan {
  to: number;
  begun: number;
}

const [SEMICOLON, OPENED, CLOSED] = [59, 40, 41];

/** Looks for comments outside of tags, up to a place. */
export function scanComments(text: string, scan: CommentScan, to: number, work: ParserWork): void {
  work.steps += Math.max(0, to - scan.to);
  for (; scan.to < to; scan.to++) {
    const c = text.charCodeAt(scan.to);
    if (isEol(c) || (c === CLOSED && scan.begun === OPENED)) scan.begun = 0;
    else if (scan.begun === 0 && (c === SEMICOLON || c === OPENED)) scan.begun = c;
  }
}

/** Goes on behind a tag, in which no comment begins. One in which a row ends ends a comment. */
export function passTag(text: string, scan: CommentScan, { start, end }: Span, work: ParserWork): void {
  scanComments(text, scan, start, work);
  work.steps += Math.max(0, end - scan.to);
  for (; scan.to < end; scan.to++) if (isEol(text.charCodeAt(scan.to))) scan.begun = 0;
}

/** Where a line statement ends: with its row, or with a later one where a \ at a row's end joins them. */
export function lineEnd(text: string, from: number, work: ParserWork): number {
  let i = from;
  for (; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (!isEol(c)) continue;
    if (text.charCodeAt(i - 1) !== 92) break;
    if (c === 13 && text.charCodeAt(i + 1) === 10) i++;
  }
  work.steps += i - from;
  return i;
}

/** The content without the blanks around it, and without the \ that join its rows at the very end. */
export function trimmed(text: string, from: number, to: number): { start: number; end: number } {
  let [start, end] = [from, to];
  while (start < end && isSpace(text.charCodeAt(start))) start++;
  while (end > start && isSpace(text.charCodeAt(end - 1))) end--;
  return { start, end };
}

import { span } from '../text/span.ts';
import { isBlank, isCurlyQuote, isNumeric } from './chars.ts';
import type { Join, Takes } from './namedForm.ts';
import { LONGEST, readBare } from './namedText.ts';
import { TokenKind, type Word, type WordValue } from './nodes.ts';
import { report } from './problems.ts';
import { emit, type Scan, tagHere, takeBlanks } from './scan.ts';
import { readFilled, readString, takeBarePart } from './value.ts';

/** What is known of the command whose word is read. */
export interface NamedReading {
  readonly checksums: boolean;
  /** What its words take, by key; null where the command is not declared. */
  readonly known: ReadonlyMap<string, Takes> | null;
}

/** The sign behind a key that ends at `end`, and where it stands, blanks between allowed. */
export function signBehind(s: Scan, end: number): { readonly sign: '=' | ':'; readonly at: number } | null {
  const at = behindBlanks(s, end);
  const c = at < s.stop ? s.text.charCodeAt(at) : 0;
  return c === 61 ? { sign: '=', at } : c === 58 ? { sign: ':', at } : null;
}

/** Where the blanks from `from` on end. */
export function behindBlanks(s: Scan, from: number): number {
  let i = from;
  while (i < s.stop && isBlank(s.text.charCodeAt(i))) i++;
  s.work.steps += i - from;
  return i;
}

/** The key from `pos` to `end`, as records have it. */
export const keyTo = (s: Scan, end: number): string => s.text.slice(s.pos, end).toUpperCase();

/** `KEY=value`, `key:value`. */
export function readSigned(s: Scan, end: number, { checksums, known }: NamedReading): Word | null {
  const found = signBehind(s, end);
  if (!found) return null;
  const { sign, at } = found;
  const { pos: start, section } = s;
  const key = keyTo(s, end);
  const stated = s.named.joins;
  if (sign === ':' && !(stated === ':' || known?.has(key)) && (stated !== null || !isPlainly(s, end, at))) return null;
  const written = s.text.slice(start, end);
  emit(s, TokenKind.name, end);
  takeBlanks(s);
  emit(s, TokenKind.equals, at + 1);
  const blanks = at > end || (s.pos < s.stop && isBlank(s.text.charCodeAt(s.pos)));
  // Only of a command that its file declares is it known that nothing else can be meant.
  const other = stated !== null && stated !== sign;
  if (other && known) tellOtherJoin(s, start, at + 1, written, stated);
  else if (blanks && !other) tellBlanks(s, end, at, written, sign);
  takeBlanks(s);
  const value = readSignedValue(s, written, sign, checksums);
  return { span: span(start, s.pos), key, keySpan: span(start, end), value, section };
}

/** Whether a : that nobody stated joins a key and a value: a number, a tag or a quoted text right behind it. */
function isPlainly(s: Scan, end: number, at: number): boolean {
  if (at !== end) return false;
  const next = at + 1;
  if (next === s.stop) return next === s.tagAt;
  const c = s.text.charCodeAt(next);
  return c === 34 || isNumeric(c);
}

const JOINED: Readonly<Record<Join, string>> = {
  '=': 'with "=" between',
  ':': 'with ":" between',
  ' ': 'with a blank between',
  '': 'with nothing between',
};

function tellOtherJoin(s: Scan, start: number, behind: number, key: string, stated: Join): void {
  const message = `The machine file says that this controller reads a word of a named command and its value ${JOINED[stated]}, so it does not read "${s.text.slice(start, behind).slice(0, LONGEST)}". Write ${key}${stated}value.`;
  let to = behind;
  while (to < s.stop && isBlank(s.text.charCodeAt(to))) to++;
  report(s.problems, 'stray-text', start, to, message, key + stated);
}

function tellBlanks(s: Scan, end: number, at: number, key: string, sign: string): void {
  let to = at + 1;
  while (to < s.stop && isBlank(s.text.charCodeAt(to))) to++;
  const message = `A blank stands beside the "${sign}" of ${key}. A blank ends the word there, so the machine may read ${key} without its value. Write ${key}${sign}value without blanks.`;
  report(s.problems, 'stray-text', end, to, message, sign);
}

function readSignedValue(s: Scan, key: string, sign: string, checksums: boolean): WordValue {
  const { pos } = s;
  const value = startsValue(s, pos) ? readValueHere(s, checksums) : null;
  if (value) return value;
  const message = `Nothing stands behind the "${sign}" of ${key}. Write its value there, or leave the word out.`;
  report(s.problems, 'stray-text', pos, pos, message);
  return { type: 'bad', span: span(pos, pos) };
}

/** Whether anything but a comment or the end of the row stands at `at`, which is `pos` or lies behind it. */
export const startsValue = (s: Scan, at: number): boolean =>
  at === s.tagAt || (at < s.stop && s.text.charCodeAt(at) !== 59);

export function readValueHere(s: Scan, checksums: boolean): WordValue | null {
  const { pos } = s;
  if (tagHere(s)) return readFilled(s, pos, null, takeBarePart);
  const c = s.text.charCodeAt(pos);
  return c === 34 || isCurlyQuote(c) ? readString(s) : readBare(s, checksums);
}

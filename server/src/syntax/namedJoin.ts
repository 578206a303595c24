import { span } from '../text/span.ts';
import { isBlank, isCurlyQuote, isDigit, isLetter, isNumeric } from './chars.ts';
import type { Takes } from './namedForm.ts';
import {
  behindBlanks,
  keyTo,
  type NamedReading,
  readSigned,
  readValueHere,
  signBehind,
  startsValue,
} from './namedSigned.ts';
import { LONGEST, nameEnd, pieceEnd, readBare } from './namedText.ts';
import { TokenKind, type Word, type WordValue } from './nodes.ts';
import { isRs274 } from './numberProblems.ts';
import { emit, givesText, type Scan, takeBlanks } from './scan.ts';

/**
 * Reads a key that is joined with its value, from `pos` on; null and nothing taken where none stands there. In this
 * order: by a sign, a letter and its number, with nothing between, with a blank between. Where the machine file does not
 * say which of them holds, a reading counts only if nothing else can be meant.
 * @param end Where the name at `pos` ends; behind `pos`.
 */
export function readJoined(s: Scan, end: number, how: NamedReading): Word | null {
  const first = s.text.charCodeAt(s.pos);
  const named = isLetter(first) || first === 95;
  if (!named) return signBehind(s, end)?.sign === '=' ? readSigned(s, end, how) : null;
  return readSigned(s, end, how) ?? readLetter(s, end, how) ?? readGlued(s, end, how) ?? readSpaced(s, end, how);
}

/** `S60`, `X-5.5`, `S{{ a }}`: a letter directly followed by a number, as in G-code. */
function readLetter(s: Scan, end: number, { checksums, known }: NamedReading): Word | null {
  const { text, stop, pos } = s;
  const { letters } = s.named;
  const first = text.charCodeAt(pos);
  if (letters === false || !isLetter(first)) return null;
  if (end - pos > 1 && end - pos <= LONGEST && known?.has(keyTo(s, end))) return null;
  const from = pos + 1;
  let i = from;
  while (i < stop && isNumeric(text.charCodeAt(i)) && i - from <= LONGEST) i++;
  s.work.steps += i - from;
  const digits = text.slice(from, i);
  if (i === stop && stop === s.tagAt)
    return tagGivesText(s) && NUMBER_BEGUN.test(digits) ? taken(s, from, () => readBare(s, checksums)) : null;
  if (!isRs274(digits)) return null;
  const next = i < stop ? text.charCodeAt(i) : 32;
  const ends = isBlank(next) || next === 59 || (next === 42 && checksums) || (isLetter(next) && letters === true);
  return ends ? taken(s, from, () => numberTo(s, i)) : null;
}

/** What may stand in front of a tag that gives the rest of a number. */
const NUMBER_BEGUN = /^[+-]?\d*\.?\d*$/;

function tagGivesText(s: Scan): boolean {
  const tag = s.tags[s.tagIndex];
  return tag !== undefined && givesText(tag);
}

/** Takes the key up to `end`, then its value. */
function taken(s: Scan, end: number, value: () => WordValue): Word {
  const { pos: start, section } = s;
  const key = keyTo(s, end);
  emit(s, end - start === 1 ? TokenKind.letter : TokenKind.name, end);
  const read = value();
  return { span: span(start, s.pos), key, keySpan: span(start, end), value: read, section };
}

function numberTo(s: Scan, end: number): WordValue {
  const { pos } = s;
  emit(s, TokenKind.number, end);
  return { type: 'number', span: span(pos, end), number: Number(s.text.slice(pos, end)) + 0 };
}

/** `minutes4`, `minutes{{ a }}`, `label"a b"`: key and value with nothing between. */
function readGlued(s: Scan, end: number, { checksums, known }: NamedReading): Word | null {
  const { joins } = s.named;
  const { pos } = s;
  if ((joins !== '' && joins !== null) || end - pos > LONGEST) return null;
  const keyEnd = known ? longestKey(s, end, known) : joins === '' ? letterEnd(s, end) : -1;
  if (keyEnd < pos + 2) return null;
  const takes = known?.get(keyTo(s, keyEnd));
  if (takes === 'flag') return null;
  if (!isGluedValue(s, keyEnd, takes, checksums)) return null;
  return taken(s, keyEnd, () => readValueHere(s, checksums) as WordValue);
}

/** Whether a value stands at `at`, right behind its key. */
function isGluedValue(s: Scan, at: number, takes: Takes | undefined, checksums: boolean): boolean {
  // First, since what stands behind the quoted text is not looked at here.
  if (at < s.stop && s.text.charCodeAt(at) === 34) return true;
  const to = pieceEnd(s, at, checksums);
  const filled = to === s.stop && s.stop === s.tagAt && tagGivesText(s);
  if (to === at) return filled;
  if (takes === 'text' && s.named.joins === '') return true;
  const rest = s.text.slice(at, Math.min(to, at + LONGEST));
  return filled ? NUMBER_BEGUN.test(rest) : isRs274(rest);
}

/** Where the longest declared key that the name up to `end` begins with ends; -1 where there is none. */
function longestKey(s: Scan, end: number, known: ReadonlyMap<string, Takes>): number {
  for (let to = end; to > s.pos; to--) if (known.has(keyTo(s, to))) return to;
  return -1;
}

/** Where the number in a name that ends at `end` begins. */
function letterEnd({ text, pos }: Scan, end: number): number {
  let to = pos;
  while (to < end && !isDigit(text.charCodeAt(to))) to++;
  return to;
}

/** `minutes 4`, `label "a b"`: key and value with a blank between. */
function readSpaced(s: Scan, end: number, { checksums, known }: NamedReading): Word | null {
  const { joins } = s.named;
  if ((joins !== ' ' && joins !== null) || end - s.pos > LONGEST) return null;
  const takes = known?.get(keyTo(s, end));
  if (takes === 'flag' || (takes === undefined && end - s.pos < 2)) return null;
  // Behind what a declared command does not take a number may stand for itself.
  if (takes === undefined && joins === null && known) return null;
  const at = behindBlanks(s, end);
  if (at === end || !startsValue(s, at)) return null;
  if (!isPlainValue(s, at, checksums) && !(takes && isTextValue(s, at, takes, known))) return null;
  return taken(s, end, () => {
    takeBlanks(s);
    return readValueHere(s, checksums) as WordValue;
  });
}

/** Whether a number, a tag or a quoted text stands at `at`, which cannot be a key. */
function isPlainValue(s: Scan, at: number, checksums: boolean): boolean {
  if (at === s.tagAt) return tagGivesText(s);
  const c = s.text.charCodeAt(at);
  if (c === 34 || isCurlyQuote(c)) return true;
  if (!isNumeric(c)) return false;
  const to = pieceEnd(s, at, checksums);
  const filled = to === s.stop && s.stop === s.tagAt;
  return to - at <= LONGEST && (filled || isRs274(s.text.slice(at, to)));
}

/** Whether bare text at `at` can be the value. Where no blank is stated, or a number is wanted, a key goes first. */
function isTextValue(s: Scan, at: number, takes: Takes, known: NamedReading['known']): boolean {
  const stated = s.named.joins === ' ';
  if (takes === 'text' && stated) return true;
  if (takes !== 'text' && !stated) return false;
  const end = nameEnd(s, at);
  return !signBehind(s, end) && known?.has(s.text.slice(at, Math.min(end, at + LONGEST)).toUpperCase()) !== true;
}

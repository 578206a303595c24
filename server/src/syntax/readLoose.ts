import { span } from '../text/span.ts';
import { isLetter } from './chars.ts';
import {
  bareNameEnd,
  bareStatementEnds,
  beginsRow,
  equalEnd,
  isExpressionBetween,
  isInWord,
  isNameBetween,
  isValuePlace,
  lineEnd,
  scanComments,
  wordEnd,
} from './looseTags.ts';
import type { Tag } from './nodes.ts';
import type { Opener, Search } from './openers.ts';
import { contentTag, findStatement, makeTag, markAt, statementTag } from './tagKinds.ts';
import { reportUnclosed } from './tagProblems.ts';
import type { TagPair } from './tagStyle.ts';

/** Reads a tag that no close of its own tells apart from the text; null where none stands there. */
export function readLoose(s: Search, one: Opener, start: number, body: number): Tag | null {
  switch (one.kind) {
    case 'equal':
      return readEqual(s, one, start, body);
    case 'bare':
      return readBare(s, one, start, body);
    case 'line':
    case 'lineRest':
      return beginsRow(s.text, start, s.until) ? readRow(s, one, start, body) : null;
    default:
      return null;
  }
}

/** `%NAME%`, `S%max(NAME, 5)%`: on one row, with a name, a statement, or a value's expression that touches both ends. */
function readEqual(s: Search, one: Opener, start: number, body: number): Tag | null {
  const { text, reading, work } = s;
  const [pair] = one.pairs;
  const at = equalEnd(text, one.text, body, work);
  if (pair && at < 0) return readHalfEqual(s, pair, start, body);
  if (!pair || isBlankAt(text, body) || isBlankAt(text, at - 1)) return null;
  const whole = span(start, at + one.text.length);
  const steers =
    pair.holds !== 'values' &&
    (markAt(text, body, reading.marks) !== '' || findStatement(s, body, at, true, false) !== null);
  const isValue = () =>
    isNameBetween(text, start, body, at, whole.end) ||
    (isValueOutside(s, start) && isExpressionBetween(text, body, at));
  if (!steers && !isValue()) return null;
  return contentTag(s, pair, whole, body, at, true);
}

/** `X%name`: where a value belongs, and its row has no second end. Anywhere else the sign is what it is without tags. */
function readHalfEqual(s: Search, pair: TagPair, start: number, body: number): Tag | null {
  const { text } = s;
  const end = wordEnd(text, body);
  if (end === body || !isValueOutside(s, start)) return null;
  const tag = makeTag(text, span(start, end), body, end, 'value', false);
  reportUnclosed(s, tag, pair.close);
  return tag;
}

/** Whether a value belongs at a place, and no comment has begun on its row. Places are asked for in the order of the text. */
function isValueOutside({ text, comments, work }: Search, at: number): boolean {
  if (!comments || !isValuePlace(text, at)) return false;
  scanComments(text, comments, at, work);
  return comments.begun === 0;
}

const isBlankAt = (text: string, at: number): boolean => /\s/.test(text.charAt(at));

/** `$x`, `#if(c)`. */
function readBare(s: Search, one: Opener, start: number, body: number): Tag | null {
  const { text, work } = s;
  const { holds } = one.pairs[0] as Opener['pairs'][0];
  if (holds !== 'values') {
    for (const end of bareStatementEnds(text, one.text, body, work)) {
      const statement = findStatement(s, body, end, false, false);
      if (statement) return statementTag(s, { open: one.text, close: '' }, span(start, end), statement, true);
    }
    if (holds === 'statements') return null;
  }
  const end = one.text === '@' && isInWord(text, start) ? -1 : bareNameEnd(text, one.text, body, work);
  return end < 0 ? null : makeTag(text, span(start, end), body, end, 'value', true);
}

/** `@if x`: a statement that takes its row. One that nobody knows has a letter behind its sign: `%` and `#1=5` are none. */
function readRow(s: Search, one: Opener, start: number, body: number): Tag | null {
  const { text, work } = s;
  const rest = one.kind === 'lineRest';
  if (rest && !isLetter(text.charCodeAt(body))) return null;
  const end = lineEnd(text, body, work);
  const statement = findStatement(s, body, end, false, rest);
  if (statement) return statementTag(s, { open: one.text, close: '' }, span(start, end), statement, true);
  return rest ? makeTag(text, span(start, end), body, end, 'foreign', true) : null;
}

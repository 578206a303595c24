import { span } from '../text/span.ts';
import { isBlank, isDigit } from './chars.ts';
import { type Line, TokenKind, type Word } from './nodes.ts';
import { quote, report } from './problems.ts';
import { emit, type Scan, takeTag } from './scan.ts';

/** N takes up to five digits (NISTIR 6556 3.3.1). */
export function checkLineNumber(s: Scan, word: Word): void {
  const { value } = word;
  if (value?.type !== 'number') return;
  const { start, end } = value.span;
  const digits = s.text.slice(start, Math.min(end, start + 100)).replace(/[ \t\v\f]/g, '');
  if (/^\d{1,5}$/.test(digits)) return;
  const why = /^\d+$/.test(digits) ? `has ${digits.length} digits` : 'is not made of digits only';
  const message = `The line number ${quote(s.text, word.span.start, word.span.end)} ${why}. A line number is N with one to five digits: shorten it, or leave line numbers out.`;
  report(s.problems, 'bad-number', start, end, message);
}

/** `*71` at the line's end. */
export function readChecksum(s: Scan): NonNullable<Line['checksum']> {
  const { text, pos } = s;
  let i = pos + 1;
  while (i < s.stop && isBlank(text.charCodeAt(i))) i++;
  const from = i;
  while (i < s.stop && isDigit(text.charCodeAt(i))) i++;
  const tagged = i === s.tagAt;
  const whole = i > from && i - from <= 9 && !tagged && (i === s.rowEnd || endsWord(text.charCodeAt(i)));
  if (!whole) while (i < s.stop && !endsWord(text.charCodeAt(i))) i++;
  emit(s, TokenKind.checksum, i);
  if (!whole && !tagged) {
    const message = `The checksum ${quote(text, pos, i)} is no whole number, so the machine rejects the line. Correct it, or leave it out.`;
    report(s.problems, 'bad-number', pos, i, message);
  }
  while (s.pos === s.tagAt) takeTag(s);
  tellMisplaced(s, pos);
  return { span: span(pos, s.pos), value: whole ? Number(text.slice(from, i)) : null };
}

const endsWord = (c: number): boolean => isBlank(c) || c === 59 || c === 40;

/** Only blanks and comments may follow a checksum. */
function tellMisplaced(s: Scan, start: number): void {
  const { text, stop } = s;
  let i = s.pos;
  while (i < stop && isBlank(text.charCodeAt(i))) i++;
  s.work.steps += i - s.pos;
  if (i >= stop || text.charCodeAt(i) === 59 || text.charCodeAt(i) === 40) return;
  const message = `The checksum ${quote(text, start, s.pos)} stands in the middle of the line. A checksum is the last thing on its line: move it there, or leave it out.`;
  report(s.problems, 'stray-text', start, s.pos, message);
}

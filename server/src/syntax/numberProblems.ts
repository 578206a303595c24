import { describeChar, isOddBlank, isZeroWidth, plainOf } from './chars.ts';
import { hasRoom, quote, report } from './problems.ts';
import type { Scan } from './scan.ts';

/** Optional sign, digits with at most one point, at least one digit. */
export const isRs274 = (text: string): boolean => /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text);

/** Tells `1e3`: what the machine reads instead, and the plain number. */
export function reportExponent(s: Scan, start: number, end: number, exponentEnd: number, key: string): void {
  const { text } = s;
  const found = text.slice(start, exponentEnd);
  const value = Number(found);
  const size = Math.abs(value);
  const plain = size >= 1e-6 && size < 1e9 ? trimZeros(value.toFixed(6)) : undefined;
  const [word, extruder] = [key + text.slice(start, end), text.slice(end, exponentEnd)];
  const todo = plain === undefined ? 'Write the number with digits and a point only.' : `Write ${plain}.`;
  const message = `${key}${found} is not read as one number: commands have no exponents, so the machine reads ${word} and then ${extruder.toUpperCase()}. ${todo}`;
  report(s.problems, 'bad-number', start, exponentEnd, message, plain);
}

const trimZeros = (text: string): string => text.replace(/\.?0+$/, '') || '0';

/** Tells `1 2`: RS-274 and printing controllers read it differently. */
export function reportBlanks(s: Scan, start: number, end: number, key: string, plain: string): void {
  const first = s.text.slice(start, end).split(/[ \t\v\f]/, 1)[0] ?? '';
  const message = `${quote(s.text, start, end)} has a blank inside the number. RS-274 reads "${key}${shorten(plain)}", but most printing controllers stop at the blank and read "${key}${shorten(first)}". Remove the blank, or put the missing letter in front of the second number.`;
  report(s.problems, 'bad-number', start, end, message);
}

const shorten = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text);

/** Tells what is no number at all, why, and what was clearly meant. `plain` is the text without blanks. */
export function reportBad(s: Scan, start: number, end: number, key: string, plain: string): void {
  if (!hasRoom(s.problems)) return;
  const shown = quote(s.text, start, end);
  // Corrections are worked out for numbers of a sane length only.
  const fixed = plain.length <= 60 ? corrected(plain) : null;
  const todo =
    fixed === null ? 'Write one number with digits and at most one point, like 12.5.' : `Write ${key}${fixed}.`;
  const message = `${shown} is no number: ${reasonFor(plain)} ${todo}`;
  report(s.problems, 'bad-number', start, end, message, fixed ?? undefined);
}

/** The one number that was clearly meant; null where there are several or none. */
function corrected(found: string): string | null {
  let text = '';
  for (const c of found) {
    const plain = plainOf(c.charCodeAt(0)) ?? c;
    text += plain === 'O' || plain === 'o' ? '0' : plain;
  }
  const commas = text.split(',').length - 1;
  if (commas === 1 && !text.includes('.')) text = text.replace(',', '.');
  return isRs274(text) ? text.replace(/^([+-]?)\./, '$10.') : null;
}

function reasonFor(text: string): string {
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    if (c > 127) return `it holds a ${describeChar(c)}, which looks right but which the machine does not know.`;
  }
  if (/[Oo]/.test(text)) return 'it holds the letter O where a zero belongs, and the machine stops reading there.';
  if (text.includes(',')) return 'the decimal sign of commands is the point; the machine stops reading at the comma.';
  if (/^[+-]$/.test(text)) return 'a sign stands alone, without digits behind it.';
  if (/^[+-]?\.$/.test(text)) return 'a point stands alone, without any digit.';
  if (/\..*\./.test(text)) return 'it has more than one point.';
  if (/[+-].*[+-]/.test(text) && /^[+-]/.test(text)) return 'it has more than one sign.';
  if (/.[+-]/.test(text)) return 'a sign may stand at its beginning only.';
  return 'a number is an optional sign, then digits with at most one point.';
}

/** Tells each look-alike in a stretch that is only a part of a value (the rest comes from a tag). */
export function reportLookAlikes(s: Scan, start: number, end: number): void {
  for (let i = start; i < end; i++) {
    const c = s.text.charCodeAt(i);
    if (c <= 127) continue;
    const plain = plainOf(c);
    if (plain !== null) reportOddChars(s, i, i + 1, plain);
  }
}

/** Tells a run of look-alikes from `start` to `end`, which stand for `plain`. */
export function reportOddChars(s: Scan, start: number, end: number, plain: string): void {
  const c = s.text.charCodeAt(start);
  const what = isOddBlank(c) ? 'a plain space' : isZeroWidth(c) ? 'nothing' : `"${shorten(plain)}"`;
  const message = `A ${describeChar(c)} stands here. It looks right, but the machine does not know it; such characters come in when text is pasted from a web page. Put ${what} in its place.`;
  report(s.problems, 'bad-number', start, end, message, plain);
}

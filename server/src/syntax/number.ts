import { span } from '../text/span.ts';
import { isBlank, isDigit, isLetter, isOddMinus, plainOf } from './chars.ts';
import { PlainNumber } from './compact.ts';
import { TokenKind, type WordValue } from './nodes.ts';
import {
  isRs274,
  reportBad,
  reportBlanks,
  reportExponent,
  reportLookAlikes,
  reportOddChars,
} from './numberProblems.ts';
import { emit, type Scan } from './scan.ts';

/** Powers of ten that a double holds exactly, so that digits / 10^n is correctly rounded. */
const POWERS: readonly number[] = Array.from({ length: 23 }, (_, n) => 10 ** n);

/** Most digits that fit a double exactly whatever they are. */
const EXACT_DIGITS = 15;

/**
 * Reads the number at `pos` (NISTIR 6556 3.3.2.1 and Appendix E: optional sign, digits with at most one point, at least
 * one digit, no exponent). null and nothing taken where no number stands there. Takes no tag: a number that runs
 * into one is returned as 'bad' without a problem, for the caller to make a filled value of.
 * @param key The letter in front, for messages.
 * @param spaced Whether blanks separate this word from the one before; decides if `X1E3` means an exponent.
 */
export function readNumber(s: Scan, key: string, spaced: boolean): WordValue | null {
  const { text, stop, pos } = s;
  let i = pos;
  let c = i < stop ? text.charCodeAt(i) : 0;
  const negative = c === 45;
  if (negative || c === 43) i++;
  let digits = 0;
  let value = 0;
  let behindPoint = -1;
  for (; i < stop; i++) {
    c = text.charCodeAt(i);
    if (c >= 48 && c <= 57) {
      value = value * 10 + (c - 48);
      digits++;
      if (behindPoint >= 0) behindPoint++;
    } else if (c === 46 && behindPoint < 0) behindPoint = 0;
    else break;
  }
  if (digits === 0 || digits > EXACT_DIGITS || !endsCleanly(s, i)) return readOddNumber(s, key, spaced);
  if (behindPoint > 0) value /= POWERS[behindPoint] as number;
  emit(s, TokenKind.number, i);
  return new PlainNumber(negative && value !== 0 ? -value : value, pos, i);
}

/** Whether a number that stops at `i` surely ends there. */
function endsCleanly(s: Scan, i: number): boolean {
  if (i >= s.stop) return s.stop !== s.tagAt;
  const c = s.text.charCodeAt(i);
  if (c === 32 || c === 9) {
    const next = behindBlanks(s, i);
    return next >= s.stop || !isNumberStart(s.text.charCodeAt(next));
  }
  if (c > 127 || c === 69 || c === 101 || c === 79 || c === 111) return false;
  return !isNumberPart(c);
}

const isNumberStart = (c: number): boolean => isDigit(c) || c === 46;
const isNumberPart = (c: number): boolean => isDigit(c) || c === 46 || c === 43 || c === 45 || c === 44;

function behindBlanks(s: Scan, from: number): number {
  let i = from;
  while (i < s.stop && isBlank(s.text.charCodeAt(i))) i++;
  s.work.steps += i - from;
  return i;
}

/** The careful way: takes all that was meant as the number, works out what is wrong with it, and tells. */
function readOddNumber(s: Scan, key: string, spaced: boolean): WordValue | null {
  const { text, pos, stop } = s;
  const run = takeRun(s, pos);
  if (run.end === pos) return null;
  if (run.end === stop && stop === s.tagAt) {
    reportLookAlikes(s, pos, run.end);
    emit(s, TokenKind.number, run.end);
    return { type: 'bad', span: span(pos, run.end) };
  }
  const found = text.slice(pos, run.end);
  const plain = run.blanks ? found.replace(/[ \t\v\f]+/g, '') : found;
  const good = isRs274(plain);
  const exponentEnd = good ? exponentBehind(s, run.end, spaced, key) : -1;
  emit(s, TokenKind.number, run.end);
  if (good && run.blanks) reportBlanks(s, pos, run.end, key, plain);
  if (exponentEnd > 0) reportExponent(s, pos, run.end, exponentEnd, key);
  if (good) return { type: 'number', span: span(pos, run.end), number: Number(plain) + 0 };
  reportBad(s, pos, run.end, key, plain);
  return { type: 'bad', span: span(pos, run.end) };
}

/** Everything from `from` on that was meant as one number, blanks inside included. */
function takeRun(s: Scan, from: number): { end: number; blanks: boolean } {
  const { text, stop } = s;
  let blanks = false;
  let points = 0;
  let i = from;
  while (i < stop) {
    const c = text.charCodeAt(i);
    if (c === 46) points++;
    else if (
      isDigit(c) ||
      c === 43 ||
      c === 45 ||
      isOddMinus(c) ||
      (c >= 0xff10 && c <= 0xff19) ||
      c === 0xff0e ||
      c === 0xff0b
    ) {
      // part of the number
    } else if (c === 44) {
      if (i + 1 >= stop || !isDigit(text.charCodeAt(i + 1))) break;
    } else if (c === 79 || c === 111) {
      if (!isZeroMeant(s, i)) break;
    } else if (isBlank(c) && i > from) {
      const next = behindBlanks(s, i);
      const follows = next < stop ? text.charCodeAt(next) : 0;
      if (!isDigit(follows) && !(follows === 46 && points === 0)) break;
      blanks = true;
      i = next;
      continue;
    } else break;
    i++;
  }
  s.work.steps += i - from;
  return { end: i, blanks };
}

/** A letter O stands for zero where no other letter follows it: `X1O5`, `XO`, `Z0.O`. */
function isZeroMeant(s: Scan, at: number): boolean {
  const next = at + 1 < s.stop ? s.text.charCodeAt(at + 1) : 0;
  return !isLetter(next) || next === 79 || next === 111;
}

/**
 * Where the exponent behind a number ends; -1 where there is none. Words may stand without blanks (`G1X10E5F300`), so
 * E with digits counts as an exponent only if this line sets its words apart, or if its case differs from the key's.
 */
function exponentBehind(s: Scan, at: number, spaced: boolean, key: string): number {
  const { text, stop } = s;
  const c = at < stop ? text.charCodeAt(at) : 0;
  if (c !== 69 && c !== 101) return -1;
  const keyIsLower = key >= 'a';
  if (!spaced && keyIsLower === (c === 101)) return -1;
  let i = at + 1;
  const sign = i < stop ? text.charCodeAt(i) : 0;
  if (sign === 43 || sign === 45) i++;
  const from = i;
  while (i < stop && i - from < 4 && isDigit(text.charCodeAt(i))) i++;
  if (i === from || i - from > 3 || (i === stop && stop === s.tagAt)) return -1;
  const next = i < stop ? text.charCodeAt(i) : 0;
  return isLetter(next) || isNumberStart(next) ? -1 : i;
}

/** Takes a run of look-alikes for which `test` holds, and tells it once. */
export function takeOddChars(s: Scan, test: (c: number) => boolean): void {
  const { text, stop, pos } = s;
  let i = pos;
  let plain = '';
  while (i < stop && test(text.charCodeAt(i))) {
    plain += plainOf(text.charCodeAt(i)) ?? text.charAt(i);
    i++;
  }
  emit(s, TokenKind.stray, i);
  reportOddChars(s, pos, i, plain);
}

import { commentEnd, speaksOfAll, speaksOfNext, speaksToUs } from './marks.ts';

// Lines that differ in their numbers alone are read in the same way, by the parser and by the rules. So what is found out
// of one of them holds for all, and an outline is what they have in common.

/** A line whose numbers have been taken out. */
export interface LineOutline {
  /** The same for all lines that differ in their numbers alone; codes and names count as letters. */
  readonly key: number;
  /** Where each number begins and ends, two places for each; that of the line itself is left out. */
  readonly places: Int32Array;
  readonly count: number;
  /** `N5` stands in front. */
  readonly numbered: boolean;
  /** Something else than words with their numbers stands on it: prose, a text, a name. */
  readonly loose: boolean;
  /** Its comment holds a tag, or is meant for us; all of it counts as letters. */
  readonly speaks: boolean;
}

/** Longest line that has an outline, bytes. */
const LONGEST = 2000;
const MOST_NUMBERS = 8;
const MOST_EXPONENT = 3;
const [TAB, BLANK, PLUS, MINUS, STAR, POINT, SEMICOLON, OPEN, CLOSE, LINE] = [
  ...[9, 32, 43, 45, 42, 46, 59, 40, 41, 95],
] as [number, number, number, number, number, number, number, number, number, number];
const isDigit = (c: number): boolean => c >= 48 && c <= 57;
/** In lower case; 0: it is none. */
const letterOf = (c: number): number => {
  const low = c | 32;
  return c >= 65 && low >= 97 && low <= 122 ? low : 0;
};
const [LOWER_E, LOWER_G, LOWER_M, LOWER_N, LOWER_T] = ['e', 'g', 'm', 'n', 't'].map((c) => c.charCodeAt(0));
const isCode = (letter: number): boolean => letter === LOWER_G || letter === LOWER_M || letter === LOWER_T;

/**
 * Reads outlines; each is good until the next one is read. null: the line is one of a kind.
 * @param mostChars What is longer than that is told, see `long-line`.
 */
export function outliner(
  marks: Uint8Array,
  mostChars: number,
): (buf: Uint8Array, from: number, end: number) => LineOutline | null {
  const places = new Int32Array(2 * MOST_NUMBERS);
  let a = 0;
  let b = 0;
  const mix = (c: number): void => {
    a = Math.imul(a ^ c, 0x01000193);
    b = Math.imul(b + c, 0x85ebca6b) ^ (b >>> 13);
  };

  /** Mixes a comment in that may mean something; false where it speaks of more than its line, or is no plain text. */
  const mixComment = (buf: Uint8Array, from: number, end: number): boolean => {
    for (let p = from; p < end; p++) {
      const c = buf[p] as number;
      if (c > 126 || (c < BLANK && c !== TAB)) return false;
      if (speaksOfNext(buf, p) || speaksOfAll(buf, p)) return false;
      mix(c);
    }
    return true;
  };

  return (buf, from, end) => {
    if (end - from > LONGEST) return null;
    const long = end - from > mostChars;
    // In characters it may be shorter.
    if (long && !isAscii(buf, from, end)) return null;
    a = long ? 0x2c1b3c6d : 0x811c9dc5;
    b = 0x1000193;
    let count = 0;
    let letter = 0;
    let sum = 0;
    let numberTo = -1;
    let begun = false;
    let [numbered, loose, speaks] = [false, false, false];
    let p = from;
    while (p < end) {
      const c = buf[p] as number;
      if (c === SEMICOLON) {
        mix(c);
        if (commentEnd(marks, buf, p) === end) break;
        speaks = true;
        if (!mixComment(buf, p + 1, end)) return null;
        break;
      }
      if (c === OPEN) {
        const to = remarkEnd(marks, buf, p, end);
        // What stands in front of a word's number, or in what is summed up, is not looked into.
        if (to < 0) return null;
        mix(c);
        letter = 0;
        for (; p < to; p++) sum ^= buf[p] as number;
        begun = true;
        continue;
      }
      if (isDigit(c) || c === PLUS || c === MINUS || c === POINT) {
        const to = numberEnd(buf, p);
        if (to < 0 || to > end) return null;
        const before = p > from ? (buf[p - 1] as number) : BLANK;
        const isName = isCode(letter) || (letter > 0 && p > from + 1 && isInName(buf[p - 2] as number, before));
        const isOwn = letter === LOWER_N && !begunBefore(buf, from, p);
        if (letter === 0) {
          // Two numbers in a row may be meant as one, or not.
          if (isBehind(buf, p, numberTo)) return null;
          loose = true;
        }
        numbered ||= letter === LOWER_N;
        for (let q = p; q < to; q++) {
          sum ^= buf[q] as number;
          if (isName) mix(buf[q] as number);
        }
        if (!isName) {
          if (count >= MOST_NUMBERS) return null;
          mix(c === PLUS ? 35 + PLUS : 35);
          if (!isOwn) {
            places[2 * count] = p;
            places[2 * count + 1] = to;
            count++;
          }
        }
        letter = 0;
        p = to;
        numberTo = to;
        // Whether E is a word or an exponent hangs on how many digits it has.
        if (letterOf(buf[p] as number) === LOWER_E) mix(isLikeExponent(buf, p) ? 1 : 2);
        begun = true;
        continue;
      }
      if (c === STAR) {
        // Right, and the last on the line; of any other one there is something to tell.
        const before = buf[p - 1] as number;
        if (p + 1 >= end || before === BLANK || before === TAB || numberIn(buf, p + 1, end) !== sum) return null;
        mix(c);
        break;
      }
      if (c > 126 || (c < BLANK && c !== TAB) || (marks[c] as number) === 2 || c === 37 || c === CLOSE) return null;
      const found = letterOf(c);
      if (found > 0) letter = found;
      else if (c !== BLANK && c !== TAB) {
        loose = true;
        letter = 0;
      }
      // Blanks in front are no part of what is summed up.
      begun ||= found > 0;
      if (begun) sum ^= c;
      mix(c);
      p++;
    }
    return { key: (a >>> 0) * 0x200000 + (b >>> 11) + 1, places, count, numbered, loose, speaks };
  };
}

/** Where the number at `p` ends; -1: it is none that everybody reads in the same way. */
function numberEnd(buf: Uint8Array, p: number): number {
  let digits = 0;
  let points = 0;
  if (buf[p] === PLUS || buf[p] === MINUS) p++;
  for (; isDigit(buf[p] as number) || buf[p] === POINT; p++) {
    if (buf[p] === POINT) points++;
    else digits++;
  }
  const next = buf[p] as number;
  if (digits === 0 || points > 1 || next === PLUS || next === MINUS) return -1;
  return p;
}

/** Whether the E at `p` has a few digits alone, as an exponent has. */
function isLikeExponent(buf: Uint8Array, p: number): boolean {
  let q = p + 1;
  if (buf[q] === PLUS || buf[q] === MINUS) q++;
  const first = q;
  while (isDigit(buf[q] as number)) q++;
  return q > first && q - first <= MOST_EXPONENT && letterOf(buf[q] as number) === 0 && buf[q] !== POINT;
}

/** Whether nothing but blanks stands between `last`, where a number ended, and `p`. */
function isBehind(buf: Uint8Array, p: number, last: number): boolean {
  if (last < 0) return false;
  let q = last;
  while (buf[q] === BLANK || buf[q] === TAB) q++;
  return q === p;
}

/** Whether digits behind these two belong to a name: `WIPE2`. */
const isInName = (second: number, last: number): boolean =>
  (letterOf(last) > 0 || last === LINE) && (letterOf(second) > 0 || second === LINE);

/** Whether anything but blanks and the letter itself stands in front of `p`. */
function begunBefore(buf: Uint8Array, from: number, p: number): boolean {
  let q = from;
  while (buf[q] === BLANK || buf[q] === TAB) q++;
  for (q++; q < p; q++) if (buf[q] !== BLANK && buf[q] !== TAB) return true;
  return false;
}

/** Behind the remark in parentheses at `p`; -1: it is not closed, holds another one, or may mean something. */
function remarkEnd(marks: Uint8Array, buf: Uint8Array, p: number, end: number): number {
  for (let q = p + 1; q < end; q++) {
    const c = buf[q] as number;
    if (c === CLOSE) return q + 1;
    const mark = marks[c] as number;
    if (c === OPEN || mark === 2 || (mark === 3 && speaksToUs(buf, q))) return -1;
  }
  return -1;
}

function isAscii(buf: Uint8Array, from: number, end: number): boolean {
  for (let i = from; i < end; i++) if ((buf[i] as number) > 127) return false;
  return true;
}

/** The whole number whose digits these are all; -1: they are not. */
function numberIn(buf: Uint8Array, from: number, end: number): number {
  if (end - from > 3) return -1;
  let value = 0;
  for (let i = from; i < end; i++) {
    const c = buf[i] as number;
    if (!isDigit(c)) return -1;
    value = value * 10 + c - 48;
  }
  return value;
}

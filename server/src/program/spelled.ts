import type { Step } from '../simulate/trace.ts';
import { commentEnd } from './marks.ts';
import { longNumber } from './numbers.ts';
import { KEYS, type Words } from './words.ts';

// A program may spell its moves in another way than most: g1x10, N5 G01 X10*71, X10 behind a G1. How such a line reads
// is found out by the parser once for each way; from then on its numbers are read where they stand.

/** A line whose numbers have been taken out. */
export interface Outline {
  /** The same for all lines that differ in their numbers alone; codes count as letters. */
  readonly key: number;
  /** Where each number begins and ends, two places for each; that of the line itself is the first, where there is one. */
  readonly places: Int32Array;
  readonly count: number;
  /** `N5` stands in front. */
  readonly numbered: boolean;
}

/** One way to spell a plain move, as the parser reads it. */
export interface Spelling {
  /** 0 to 3; -1: the motion that is in force. */
  readonly g: number;
  /** For each number its place in `KEYS`. */
  readonly keys: readonly number[];
  /** How often each rule has something to say of lines that are spelled so. */
  readonly counts: readonly (readonly [string, number])[];
}

const MOST_NUMBERS = 8;
const [TAB, BLANK, PLUS, MINUS, STAR, POINT, SEMICOLON] = [9, 32, 43, 45, 42, 46, 59] as const;
const isDigit = (c: number): boolean => c >= 48 && c <= 57;
/** In lower case. */
const letterOf = (c: number): number => {
  const low = c | 32;
  return c >= 65 && low >= 97 && low <= 122 ? low : 0;
};
const [LOWER_E, LOWER_G, LOWER_M, LOWER_N, LOWER_T] = ['e', 'g', 'm', 'n', 't'].map((c) => c.charCodeAt(0));
const isCode = (letter: number): boolean => letter === LOWER_G || letter === LOWER_M || letter === LOWER_T;

/** Reads outlines; each is good until the next one is read. */
export function outliner(marks: Uint8Array): (buf: Uint8Array, from: number, end: number) => Outline | null {
  const places = new Int32Array(2 * MOST_NUMBERS);

  /** Where the number at `p` ends; -1: it is none that everybody reads in the same way. */
  const numberEnd = (buf: Uint8Array, p: number): number => {
    let digits = 0;
    let points = 0;
    if (buf[p] === PLUS || buf[p] === MINUS) p++;
    for (; isDigit(buf[p] as number) || buf[p] === POINT; p++) {
      if (buf[p] === POINT) points++;
      else digits++;
    }
    const next = buf[p] as number;
    if (digits === 0 || points > 1 || next === PLUS || next === MINUS || letterOf(next) === LOWER_E) return -1;
    return p;
  };

  return (buf, from, end) => {
    let a = 0x811c9dc5;
    let b = 0x1000193;
    let count = 0;
    let letter = 0;
    let sum = 0;
    let begun = false;
    let numbered = false;
    let p = from;
    const mix = (c: number): void => {
      a = Math.imul(a ^ c, 0x01000193);
      b = Math.imul(b + c, 0x85ebca6b) ^ (b >>> 13);
    };
    while (p < end) {
      const c = buf[p] as number;
      if (c === SEMICOLON) {
        if (commentEnd(marks, buf, p) !== end) return null;
        mix(c);
        break;
      }
      if (isDigit(c) || c === PLUS || c === MINUS || c === POINT) {
        const to = numberEnd(buf, p);
        if (to < 0 || to > end || letter === 0 || count >= MOST_NUMBERS) return null;
        const isOwn = letter === LOWER_N && count === 0;
        numbered ||= isOwn;
        for (let q = p; q < to; q++) {
          sum ^= buf[q] as number;
          if (isCode(letter)) mix(buf[q] as number);
        }
        if (!isCode(letter)) {
          mix(c === PLUS ? 35 + PLUS : 35);
          if (!isOwn) {
            places[2 * count] = p;
            places[2 * count + 1] = to;
            count++;
          }
        }
        letter = 0;
        p = to;
        continue;
      }
      if (c === STAR) {
        // Right, and the last on the line; of any other one there is something to tell.
        const before = buf[p - 1] as number;
        if (p + 1 >= end || before === BLANK || before === TAB || numberIn(buf, p + 1, end) !== sum) return null;
        mix(c);
        break;
      }
      const found = letterOf(c);
      if (found > 0) letter = found;
      else if (c !== BLANK && c !== TAB) return null;
      // Blanks in front are no part of what is summed up.
      begun ||= found > 0;
      if (begun) sum ^= c;
      mix(c);
      p++;
    }
    return { key: (a >>> 0) * 0x200000 + (b >>> 11) + 1, places, count, numbered };
  };
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

const latin = new TextDecoder('latin1');
/** So many digits a double holds, whatever they are. */
const EXACT = 15;

/** The number at the outline's place `i`, as the parser has it. */
function valueAt(buf: Uint8Array, { places }: Outline, i: number): number {
  const from = places[2 * i] as number;
  const to = places[2 * i + 1] as number;
  const sign = buf[from] as number;
  const first = sign === MINUS || sign === PLUS ? from + 1 : from;
  let point = first;
  while (point < to && buf[point] !== POINT) point++;
  if (to - first > EXACT) return Number(latin.decode(buf.subarray(from, to))) + 0;
  const value = longNumber(buf, first, to, Math.max(0, to - point - 1));
  return sign === MINUS ? 0 - value : value;
}

/** The words of a line with this outline; null where no motion is in force. */
export function spelledWords(
  buf: Uint8Array,
  outline: Outline,
  { g, keys }: Spelling,
  motion: string | null,
): Words | null {
  const code = g >= 0 ? g : ['G0', 'G1', 'G2', 'G3'].indexOf(motion ?? '');
  if (code < 0) return null;
  const values = new Float64Array(KEYS.length);
  let given = 0;
  keys.forEach((key, i) => {
    values[key] = valueAt(buf, outline, i);
    given |= 1 << key;
  });
  return { g: code, values, given };
}

/** How the parser reads the line with this outline, that it ran as `step`; null: it is no plain move. */
export function spellingOf(buf: Uint8Array, outline: Outline, { command }: Step): Omit<Spelling, 'counts'> | null {
  const { code, node, words } = command;
  const g = ['G0', 'G1', 'G2', 'G3'].indexOf(code);
  if (g < 0 || words.length === 0 || words.length !== outline.count || words.length !== node.words.length) return null;
  const keys: number[] = [];
  for (const [i, { key, value, section }] of words.entries()) {
    const place = key === '' ? -1 : KEYS.indexOf(key);
    if (place < 0 || keys.includes(place) || section || value?.type !== 'number') return null;
    if (value.number !== valueAt(buf, outline, i)) return null;
    keys.push(place);
  }
  return { g: node.code === code ? g : -1, keys };
}

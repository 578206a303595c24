import { commentEnd } from './marks.ts';
import { longNumber } from './numbers.ts';

/** The words of a plain line: their values at the places of `KEYS`, and which of them are there, bit by bit. */
export interface Words {
  /** 0 to 3. */
  readonly g: number;
  readonly values: Float64Array;
  readonly given: number;
}

export const KEYS = 'XYZEFIJR';
const PLACE = new Int8Array(256).fill(-1);
for (let i = 0; i < KEYS.length; i++) PLACE[KEYS.charCodeAt(i)] = i;
const [BLANK, SEMICOLON, POINT, MINUS] = [32, 59, 46, 45] as const;
const isDigit = (c: number): boolean => c >= 48 && c <= 57;

/**
 * Reads `G1 X.. Y..` from `from` up to the line's end at `end`: a digit, then words between blanks with plain numbers,
 * each letter once, and perhaps a comment. null where the line is anything else.
 */
export function wordsOf(buf: Uint8Array, from: number, end: number, marks: Uint8Array): Words | null {
  const g = (buf[from + 1] as number) - 48;
  if (buf[from] !== 71 || !(g >= 0 && g <= 3)) return null;
  const values = new Float64Array(KEYS.length);
  let given = 0;
  let p = from + 2;
  while (p < end) {
    if (buf[p] === BLANK) {
      while (buf[p] === BLANK) p++;
      if (p === end) break;
    } else if (buf[p] !== SEMICOLON) return null;
    if (buf[p] === SEMICOLON) {
      if (commentEnd(marks, buf, p) < 0) return null;
      break;
    }
    const key = PLACE[buf[p++] as number] as number;
    if (key < 0 || (given & (1 << key)) !== 0) return null;
    const negative = buf[p] === MINUS;
    if (negative) p++;
    const first = p;
    while (isDigit(buf[p] as number)) p++;
    let [count, places] = [p - first, 0];
    if (buf[p] === POINT) {
      const point = p++;
      while (isDigit(buf[p] as number)) p++;
      places = p - point - 1;
      count += places;
    }
    if (count === 0 || count > 15) return null;
    const value = longNumber(buf, first, p, places);
    values[key] = negative ? 0 - value : value;
    given |= 1 << key;
  }
  return given === 0 ? null : { g, values, given };
}

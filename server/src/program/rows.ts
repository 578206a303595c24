import type { FastState } from './fastState.ts';
import { speaksOfNext } from './marks.ts';

/** Whole lines that go through the general simulator together. */
export interface Batch {
  readonly end: number;
  readonly rows: number;
  /** Bytes of the longest of them. */
  readonly longest: number;
  /** NUL bytes in them, and where the first of them is: its row (from 0) and its place. */
  readonly nuls: number;
  readonly nulRow: number;
  readonly nulAt: number;
  /** The line behind it belongs to it. */
  readonly next: boolean;
}

/** More lines than this are not run at once. */
export const MOST_ROWS = 64;
const MOST_BYTES = 1 << 16;
const [LF, CR, G, PERCENT] = [10, 13, 71, 37] as const;

/**
 * Lines from `from` on that are no plain moves, one at least; `plain`: how many of them may look plain. A line that speaks of
 * the one behind it takes that along; one that is longer than `most` bytes, or very long, goes alone. Also takes note of
 * the longest line.
 */
export function batchEnd(
  buf: Uint8Array,
  from: number,
  end: number,
  plain: number,
  forced: boolean,
  most: number,
  fast: FastState,
): Batch {
  const shared = Math.min(MOST_BYTES, most);
  let p = from;
  let rows = 0;
  let longest = 0;
  let nuls = 0;
  let nulRow = -1;
  let nulAt = -1;
  let next = forced;
  while (p < end && rows < MOST_ROWS && p - from < MOST_BYTES) {
    if (rows >= plain && !next && looksPlain(buf, p)) break;
    const start = p;
    let isIgnore = false;
    let own = 0;
    let first = -1;
    let c = buf[p] as number;
    while (c !== LF && c !== CR) {
      if (c === 98 && speaksOfNext(buf, p)) isIgnore = true;
      if (c === 0 && own++ === 0) first = p;
      c = buf[++p] as number;
    }
    const length = p - start;
    // So that it can be passed over alone.
    if (length > shared && rows > 0) {
      p = start;
      break;
    }
    if (own > 0 && nuls === 0) [nulRow, nulAt] = [rows, first];
    nuls += own;
    p++;
    if (c === CR && buf[p] === LF) p++;
    if (length > longest) longest = length;
    if (length > fast.longest) {
      fast.longest = length;
      fast.longestLine = fast.line + rows;
    }
    next = isIgnore || buf[start] === PERCENT || (next && isIdle(buf, start));
    rows++;
    if (length > shared) break;
  }
  return { end: p, rows, longest, nuls, nulRow, nulAt, next };
}

/** A line without a command: what belongs to the next command reaches over it. */
export function isIdle(buf: Uint8Array, start: number): boolean {
  let p = start;
  while (buf[p] === 32 || buf[p] === 9) p++;
  const c = buf[p];
  return c === LF || c === CR || c === 59 || c === 40;
}

/** `G0 ` to `G3 `, or a comment or blank line. */
function looksPlain(buf: Uint8Array, p: number): boolean {
  const c = buf[p];
  if (c !== G) return c === LF || c === CR;
  const digit = buf[p + 1] as number;
  return digit >= 48 && digit <= 51 && buf[p + 2] === 32;
}

// Codes of deflate (RFC 1951 3.2.2): shorter for what comes often.

/** How to read one code. An entry is `symbol << 4 | bits`. */
export interface Codes {
  /** Entries by the next bits as they lie in the stream; 0 where the code is longer than `mask`, or is none. */
  readonly fast: Uint16Array;
  readonly mask: number;
  /** How many codes have each length, and their symbols in the order of the codes. */
  readonly counts: Uint16Array;
  readonly symbols: Uint16Array;
}

const LONGEST = 15;
/** Codes up to so many bits are looked up at once. */
const FAST = 10;

/**
 * @param lengths Of each symbol's code, in bits; 0 where it has none.
 * @param sparse A single code of one bit, or none at all, is enough: so it is for distances (RFC 1951 3.2.7).
 */
export function codesOf(lengths: Uint8Array, sparse: boolean): Codes {
  const counts = new Uint16Array(LONGEST + 1);
  for (const length of lengths) if (length > 0) counts[length] = (counts[length] as number) + 1;
  let left = 1;
  let longest = 0;
  const firsts = new Uint16Array(LONGEST + 2);
  const places = new Uint16Array(LONGEST + 2);
  for (let length = 1; length <= LONGEST; length++) {
    const count = counts[length] as number;
    left = left * 2 - count;
    if (left < 0) throw new Error('two codes are the same');
    if (count > 0) longest = length;
    firsts[length + 1] = ((firsts[length] as number) + count) << 1;
    places[length + 1] = (places[length] as number) + count;
  }
  if (left > 0 && !(sparse && longest <= 1)) throw new Error('some codes are missing');
  const symbols = new Uint16Array(lengths.length);
  const bits = Math.max(1, Math.min(FAST, longest));
  const fast = new Uint16Array(1 << bits);
  for (const [symbol, length] of lengths.entries()) {
    if (length === 0) continue;
    const code = firsts[length] as number;
    const place = places[length] as number;
    firsts[length] = code + 1;
    places[length] = place + 1;
    symbols[place] = symbol;
    if (length > bits) continue;
    for (let at = reversed(code, length); at < fast.length; at += 1 << length) fast[at] = (symbol << 4) | length;
  }
  return { fast, mask: fast.length - 1, counts, symbols };
}

/** Codes lie in the stream with their highest bit first, all else with the lowest (RFC 1951 3.1.1). */
function reversed(code: number, length: number): number {
  let result = 0;
  for (let i = 0; i < length; i++) result |= ((code >> i) & 1) << (length - 1 - i);
  return result;
}

/** The entry for a code that is longer than what is looked up. `hold`: at least 15 bits of the stream. */
export function slowSymbol({ counts, symbols }: Codes, hold: number): number {
  let code = 0;
  let first = 0;
  let place = 0;
  for (let length = 1; length <= LONGEST; length++) {
    code |= (hold >> (length - 1)) & 1;
    const count = counts[length] as number;
    if (code - first < count) return ((symbols[place + code - first] as number) << 4) | length;
    place += count;
    first = (first + count) << 1;
    code <<= 1;
  }
  throw new Error('a code is none of its block');
}

const lengthsOf = (...runs: readonly (readonly [length: number, times: number])[]): Uint8Array =>
  Uint8Array.from(runs.flatMap(([length, times]) => Array<number>(times).fill(length)));

/** Of blocks that bring no codes of their own (RFC 1951 3.2.6): of literals and lengths, and of distances. */
export const FIXED_CODES: readonly [Codes, Codes] = [
  codesOf(lengthsOf([8, 144], [9, 112], [7, 24], [8, 8]), false),
  codesOf(lengthsOf([5, 32]), false),
];

// RFC 1951 3.2.5. Each length or distance begins where the one before ends.
const series = (extra: Uint8Array, from: number): Uint16Array => {
  const bases = new Uint16Array(extra.length);
  let at = from;
  for (const [i, bits] of extra.entries()) {
    bases[i] = at;
    at += 1 << bits;
  }
  return bases;
};

/** Bits behind a length's symbol, from 257 on, and the shortest length that it stands for. */
export const COPY_EXTRA = lengthsOf([0, 8], [1, 4], [2, 4], [3, 4], [4, 4], [5, 4], [0, 1]);
export const COPY_BASE = series(COPY_EXTRA, 3);
// The longest has a symbol of its own, and the one before it stops short of it.
COPY_BASE[28] = 258;

/** The same for distances. */
export const FAR_EXTRA = Uint8Array.from({ length: 30 }, (_, i) => Math.max(0, (i >> 1) - 1));
export const FAR_BASE = series(FAR_EXTRA, 1);

import { COPY_BASE, COPY_EXTRA, type Codes, codesOf, FAR_BASE, FAR_EXTRA, FIXED_CODES, slowSymbol } from './huffman.ts';
import type { Inflate } from './source.ts';

// Undoes deflate (RFC 1951) where there is no Node: a browser's own inflater cannot tell where a stream ends, which the
// members of a gzip file need.

/** How far back a copy may reach (RFC 1951 3.3). */
const WINDOW = 1 << 15;
/** How many bytes are unpacked before they are passed on. */
const ROOM = 1 << 17;
const LONGEST_COPY = 258;
/** No symbol with its extra bits takes more bytes, and no head of a block; so much is held, and zeros behind the end. */
const SYMBOL = 8;
const HEAD = 600;

/** The stream's bytes and what comes out of them. `hold`: the next `bits` bits, the first of them lowest. */
interface Desk {
  input: Uint8Array;
  at: number;
  hold: number;
  bits: number;
  readonly out: Uint8Array;
  /** Where the next byte goes, and how many went out before the first that is still here. */
  to: number;
  gone: number;
}

/** An inflater that needs nothing of its host. */
export const ownInflate: Inflate = async function* (chunks, consumed) {
  const rest = chunks[Symbol.asyncIterator]();
  const desk: Desk = {
    ...{ input: new Uint8Array(0), at: 0, hold: 0, bits: 0 },
    ...{ out: new Uint8Array(WINDOW + ROOM + LONGEST_COPY), to: 0, gone: 0 },
  };
  let before = 0; // bytes of the stream in front of `input`
  let real = 0; // of `input`: without the zeros behind the end
  let ended = false;
  let given = 0;
  const taken = (): number => desk.at - (desk.bits >> 3);

  /** Holds at least so many bytes, or all that are left and zeros. */
  const hold = async (bytes: number): Promise<void> => {
    if (taken() > real) throw new Error('it ends too early');
    while (!ended && desk.input.length - desk.at < bytes) {
      const next = await rest.next();
      ended = next.done === true;
      const more = next.done ? new Uint8Array(HEAD) : next.value;
      const left = desk.input.subarray(desk.at);
      const input = new Uint8Array(left.length + more.length);
      input.set(left);
      input.set(more, left.length);
      before += desk.at;
      desk.input = input;
      desk.at = 0;
      real = ended ? left.length : input.length;
    }
    if (ended && desk.input.length - desk.at < SYMBOL) throw new Error('it ends too early');
  };
  /** What was unpacked and not passed on. The window stays. */
  const give = (): Uint8Array => {
    const bytes = desk.out.slice(given, desk.to);
    const shift = Math.max(0, desk.to - WINDOW);
    desk.out.copyWithin(0, shift, desk.to);
    desk.gone += shift;
    desk.to -= shift;
    given = desk.to;
    return bytes;
  };

  try {
    for (let last = false; !last; ) {
      await hold(HEAD);
      last = take(desk, 1) === 1;
      const kind = take(desk, 2);
      if (kind === 3) throw new Error('a block is of a kind that there is not');
      if (kind === 0) {
        for (let left = storedLength(desk); left > 0; ) {
          await hold(SYMBOL);
          const length = Math.min(left, real - desk.at, WINDOW + ROOM - desk.to);
          if (length <= 0 && desk.to < WINDOW + ROOM) throw new Error('it ends too early');
          desk.out.set(desk.input.subarray(desk.at, desk.at + length), desk.to);
          desk.at += length;
          desk.to += length;
          left -= length;
          if (desk.to >= WINDOW + ROOM) yield give();
        }
        continue;
      }
      const [literals, distances] = kind === 1 ? FIXED_CODES : readCodes(desk);
      while (!unpack(desk, literals, distances)) {
        if (desk.to >= WINDOW + ROOM) yield give();
        await hold(SYMBOL + 1);
      }
    }
    if (taken() > real) throw new Error('it ends too early');
    if (desk.to > given) yield give();
    consumed?.(before + taken());
  } finally {
    await rest.return?.();
  }
};

/** The next bits as a number, the first of them lowest; 16 at most. */
function take(desk: Desk, count: number): number {
  while (desk.bits < count) {
    desk.hold |= (desk.input[desk.at++] as number) << desk.bits;
    desk.bits += 8;
  }
  const value = desk.hold & ((1 << count) - 1);
  desk.hold >>>= count;
  desk.bits -= count;
  return value;
}

/** Of a block that is stored as it is (RFC 1951 3.2.4). */
function storedLength(desk: Desk): number {
  desk.hold >>>= desk.bits & 7;
  desk.bits &= ~7;
  const length = take(desk, 16);
  if (length !== (take(desk, 16) ^ 0xffff)) throw new Error('the length of a stored block is wrong');
  return length;
}

/** In what order the lengths of the lengths' own codes are written (RFC 1951 3.2.7). */
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/** The codes of a block that brings its own (RFC 1951 3.2.7). */
function readCodes(desk: Desk): readonly [literals: Codes, distances: Codes] {
  const literals = take(desk, 5) + 257;
  const distances = take(desk, 5) + 1;
  const count = take(desk, 4) + 4;
  if (literals > 286 || distances > 30) throw new Error('a block has more codes than there are');
  const own = new Uint8Array(19);
  for (const at of ORDER.slice(0, count)) own[at] = take(desk, 3);
  const codes = codesOf(own, false);
  const lengths = new Uint8Array(literals + distances);
  for (let i = 0; i < lengths.length; ) {
    const symbol = next(desk, codes);
    if (symbol < 16) {
      lengths[i++] = symbol;
      continue;
    }
    if (symbol === 16 && i === 0) throw new Error('a block repeats a length that there is not');
    const length = symbol === 16 ? (lengths[i - 1] as number) : 0;
    const times = symbol === 16 ? 3 + take(desk, 2) : symbol === 17 ? 3 + take(desk, 3) : 11 + take(desk, 7);
    if (i + times > lengths.length) throw new Error('a block has more lengths than codes');
    lengths.fill(length, i, i + times);
    i += times;
  }
  if (lengths[256] === 0) throw new Error('a block has no end');
  return [codesOf(lengths.subarray(0, literals), false), codesOf(lengths.subarray(literals), true)];
}

/** The next symbol of a code. */
function next(desk: Desk, codes: Codes): number {
  while (desk.bits < 15) {
    desk.hold |= (desk.input[desk.at++] as number) << desk.bits;
    desk.bits += 8;
  }
  const found = codes.fast[desk.hold & codes.mask] as number;
  const entry = found !== 0 ? found : slowSymbol(codes, desk.hold);
  desk.hold >>>= entry & 15;
  desk.bits -= entry & 15;
  return entry >> 4;
}

/** Unpacks until the block ends (true), or until there is no room or little input left (false). */
function unpack(desk: Desk, literals: Codes, distances: Codes): boolean {
  // All in locals: this is where the time goes.
  const { input, out, gone } = desk;
  const { fast, mask } = literals;
  const enough = input.length - SYMBOL;
  const full = WINDOW + ROOM;
  let { at, hold, bits, to } = desk;
  let ended = false;
  while (at < enough && to < full) {
    while (bits < 15) {
      hold |= (input[at++] as number) << bits;
      bits += 8;
    }
    let entry = fast[hold & mask] as number;
    if (entry === 0) entry = slowSymbol(literals, hold);
    hold >>>= entry & 15;
    bits -= entry & 15;
    const symbol = entry >> 4;
    if (symbol < 256) {
      out[to++] = symbol;
      continue;
    }
    if (symbol === 256) {
      ended = true;
      break;
    }
    const extra = COPY_EXTRA[symbol - 257] as number;
    while (bits < extra) {
      hold |= (input[at++] as number) << bits;
      bits += 8;
    }
    const length = (COPY_BASE[symbol - 257] as number) + (hold & ((1 << extra) - 1));
    hold >>>= extra;
    bits -= extra;
    while (bits < 15) {
      hold |= (input[at++] as number) << bits;
      bits += 8;
    }
    let far = distances.fast[hold & distances.mask] as number;
    if (far === 0) far = slowSymbol(distances, hold);
    hold >>>= far & 15;
    bits -= far & 15;
    const more = FAR_EXTRA[far >> 4];
    if (symbol > 285 || more === undefined) throw new Error('a symbol has no meaning');
    while (bits < more) {
      hold |= (input[at++] as number) << bits;
      bits += 8;
    }
    const distance = (FAR_BASE[far >> 4] as number) + (hold & ((1 << more) - 1));
    hold >>>= more;
    bits -= more;
    if (distance > to + gone) throw new Error('a copy reaches back to before the beginning');
    // A copy may overlap what it makes, so it goes byte by byte.
    for (const end = to + length; to < end; to++) out[to] = out[to - distance] as number;
  }
  desk.at = at;
  desk.hold = hold;
  desk.bits = bits;
  desk.to = to;
  return ended;
}

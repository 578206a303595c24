import type { Store } from './store.ts';

/** What a splitter does with the lines that it finds. */
export interface Lines {
  /** Whole lines in the store from `from` to `end`; `base`: bytes of the program in front of the store's first one. */
  lines(from: number, end: number, base: number): void;
  /** A line that is longer than may be kept; `base`: bytes in front of it. `nuls`: how many NUL bytes are in it. */
  cut(length: number, base: number, nuls: number): void;
}

export interface Splitter {
  push(chunk: Uint8Array): void;
  /** What is left: the last line, where it has no end. */
  end(): void;
  /** The last bytes; `base`: how many stand in front of them. */
  tail(): { readonly tail: Uint8Array; readonly base: number };
}

const [LF, CR] = [10, 13] as const;
/** So many bytes are taken at once. */
const PIECE = 1 << 18;

/** Bytes that one side of a splitter's store needs: for whole lines, one that has not ended, a piece, and line ends. */
export const roomFor = (longest: number, kept: number): number => kept + longest + PIECE + 2;

/**
 * Cuts chunks of any size at line ends (LF, CRLF or a lone CR). A store has two sides: what comes is copied to one of them,
 * behind the line that has not ended yet, until `kept` bytes of whole lines are there; then that line goes on on the other
 * side. So the last bytes are at hand at any time. A line longer than `longest` bytes is told and dropped, so that memory
 * stays bounded.
 */
export function splitter(to: Lines, { bytes, sides }: Store, longest: number, kept: number): Splitter {
  let [side, other] = sides;
  /** Where the line begins that has not ended, and where what there is of it ends. */
  let held = side;
  let end = side;
  /** Where the whole lines of the other side end. */
  let otherEnd = other;
  /** Bytes of the program in front of `held`. */
  let passed = 0;
  /** Bytes so far of a line that is being passed over, -1: none is; and the NUL bytes in it. */
  let skipped = -1;
  let nuls = 0;
  /** The last byte so far is a CR: the line ends there, or behind the LF that comes next. */
  let ended = false;

  const turn = (): void => {
    bytes.copyWithin(other, held, end);
    end += other - held;
    otherEnd = held;
    [side, other] = [other, side];
    held = side;
  };

  /** Takes bytes in behind those that are held. */
  const take = (piece: Uint8Array): void => {
    if (held - side >= kept) turn();
    const from = end > held ? end - 1 : end;
    bytes.set(piece, end);
    end += piece.length;
    const next = lastEnd(bytes, from, end);
    if (next > held) {
      to.lines(held, next, passed - held);
      passed += next - held;
      held = next;
    }
    ended = end > held && bytes[end - 1] === CR;
    if (end - held - (ended ? 1 : 0) > longest) {
      skipped = end - held;
      nuls = countNuls(bytes.subarray(held, end));
      // Nothing in front of it is the program's last.
      [held, end, otherEnd] = [side, side, other];
    }
  };

  /** Passes over what belongs to the long line, and returns where the next begins in the chunk. */
  const skip = (chunk: Uint8Array, from: number): number => {
    const next = ended ? from + (chunk[from] === LF ? 1 : 0) : firstEnd(chunk, from);
    const until = next < 0 ? chunk.length : next;
    skipped += until - from;
    nuls += countNuls(chunk.subarray(from, until));
    if (next < 0) {
      ended = chunk[until - 1] === CR;
      return until;
    }
    const mark = ended ? 1 + next - from : chunk[next - 1] === LF && chunk[next - 2] === CR ? 2 : 1;
    to.cut(skipped - mark, passed, nuls);
    passed += skipped;
    skipped = -1;
    return next;
  };

  return {
    push(chunk) {
      for (let at = 0; at < chunk.length; ) {
        if (skipped >= 0) at = skip(chunk, at);
        else {
          const piece = at === 0 && chunk.length <= PIECE ? chunk : chunk.subarray(at, at + PIECE);
          take(piece);
          at += piece.length;
        }
      }
    },
    end() {
      if (skipped >= 0) to.cut(ended ? skipped - 1 : skipped, passed, nuls);
      else if (end > held) {
        bytes[end] = LF;
        to.lines(held, end + 1, passed - held);
        passed += end - held;
        held = end;
      }
      skipped = -1;
    },
    tail() {
      const tail = new Uint8Array(Math.min(kept, otherEnd - other + held - side));
      const own = Math.min(tail.length, held - side);
      const before = tail.length - own;
      tail.set(bytes.subarray(otherEnd - before, otherEnd));
      tail.set(bytes.subarray(held - own, held), before);
      return { tail, base: passed - tail.length };
    },
  };
}

function countNuls(bytes: Uint8Array): number {
  let n = 0;
  for (let i = bytes.indexOf(0); i >= 0; i = bytes.indexOf(0, i + 1)) n++;
  return n;
}

/** Behind the first line end from `from` on; -1: none. A CR at the very end may be half of one. */
function firstEnd(buf: Uint8Array, from: number): number {
  const lf = buf.indexOf(LF, from);
  const cr = buf.indexOf(CR, from);
  if (cr >= 0 && cr < buf.length - 1 && (lf < 0 || cr < lf)) return buf[cr + 1] === LF ? cr + 2 : cr + 1;
  return lf < 0 ? -1 : lf + 1;
}

/** Behind the last line end that begins between `from` and `to`; -1: none. A CR at the very end may be half of one. */
function lastEnd(buf: Uint8Array, from: number, to: number): number {
  let p = to - 1;
  while (p >= from && buf[p] !== LF && (buf[p] !== CR || p === to - 1)) p--;
  return p >= from ? p + 1 : -1;
}

/** What a splitter does with the lines that it finds. */
export interface Lines {
  /** Whole lines from `from` to `end` in `buf`; `base`: bytes in front of `buf`. */
  lines(buf: Uint8Array, from: number, end: number, base: number): void;
  /** A line that is longer than may be kept. */
  cut(length: number, base: number): void;
}

export interface Splitter {
  push(chunk: Uint8Array): void;
  /** What is left: the last line, where it has no end. */
  end(): void;
}

const [LF, CR] = [10, 13] as const;
const NOTHING = new Uint8Array(0);

/**
 * Cuts chunks of any size at line ends (LF, CRLF or a lone CR) without copying more than the lines that run over two
 * chunks. A line longer than `longest` bytes is told and dropped, so that memory stays bounded.
 */
export function splitter(to: Lines, longest: number): Splitter {
  let carry: Uint8Array = NOTHING;
  /** Bytes of the program in front of the carry, or of the chunk where there is none. */
  let base = 0;
  /** Bytes so far of a line that is being passed over; -1: none is. */
  let skipped = -1;

  const hold = (rest: Uint8Array): void => {
    if (carry.length + rest.length > longest) {
      skipped = carry.length + rest.length;
      carry = NOTHING;
      return;
    }
    const joined = new Uint8Array(carry.length + rest.length);
    joined.set(carry);
    joined.set(rest, carry.length);
    carry = joined;
  };

  return {
    push(chunk) {
      // One kind of array for the scan, whatever the host hands over.
      const buf = new Uint8Array(chunk.buffer, chunk.byteOffset, chunk.length);
      if (buf.length === 0) return;
      let from = 0;
      if (skipped >= 0 || carry.length > 0) {
        from = firstEnd(buf);
        if (from < 0) {
          if (skipped >= 0) skipped += buf.length;
          else hold(buf);
          return;
        }
        if (skipped >= 0) {
          to.cut(skipped + from - (buf[from - 1] === LF && buf[from - 2] === CR ? 2 : 1), base);
          base += skipped + from;
          skipped = -1;
        } else {
          const joined = new Uint8Array(carry.length + from);
          joined.set(carry);
          joined.set(buf.subarray(0, from), carry.length);
          carry = NOTHING;
          to.lines(joined, 0, joined.length, base);
          base += joined.length;
        }
      }
      const end = lastEnd(buf, from);
      if (end > from) {
        to.lines(buf, from, end, base - from);
        base += end - from;
        from = end;
      }
      if (from < buf.length) hold(buf.subarray(from));
    },
    end() {
      if (skipped >= 0) to.cut(skipped, base);
      else if (carry.length > 0) {
        const closed = new Uint8Array(carry.length + 1);
        closed.set(carry);
        closed[carry.length] = LF;
        to.lines(closed, 0, closed.length, base);
      }
      carry = NOTHING;
      skipped = -1;
    },
  };
}

/** Behind the first line end; -1: none. A CR at the very end may be half of one. */
function firstEnd(buf: Uint8Array): number {
  const lf = buf.indexOf(LF);
  // Nearly all programs have no CR at all, and looking for one through a whole chunk would cost more than the line.
  const cr = lf < 0 ? buf.indexOf(CR) : buf.subarray(0, lf).indexOf(CR);
  if (cr >= 0 && cr < buf.length - 1) return buf[cr + 1] === LF ? cr + 2 : cr + 1;
  return lf < 0 ? -1 : lf + 1;
}

function lastEnd(buf: Uint8Array, from: number): number {
  const lf = buf.lastIndexOf(LF);
  if (lf >= from) return lf + 1;
  const cr = buf.length > 1 ? buf.lastIndexOf(CR, buf.length - 2) : -1;
  return cr >= from ? cr + 1 : from;
}

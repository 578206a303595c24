import { Z_BUF_ERROR, Z_NO_FLUSH, Z_OK, Z_STREAM_END, ZStream, zlibInflate, zlibInflateInit2 } from 'pako';
import type { Inflate } from './source.ts';

// Undoes deflate (RFC 1951) where there is no Node: a browser's own inflater cannot tell where a stream ends, which the
// members of a gzip file need.

/** How many bytes are unpacked before they are passed on. */
const ROOM = 1 << 17;
/** How far back a copy may reach, as a power of two (RFC 1951 3.3); negative for a stream without a wrapper. */
const RAW_WINDOW = -15;

/**
 * Undoes deflate by pako's zlib calls, room by room: pako's own class for streams unpacks a whole piece at once, however
 * much comes of it.
 */
export const pakoInflate: Inflate = async function* (chunks, consumed) {
  const stream = new ZStream();
  zlibInflateInit2(stream, RAW_WINDOW);
  makeRoom(stream);
  for await (const piece of chunks) {
    stream.input = piece;
    stream.next_in = 0;
    stream.avail_in = piece.length;
    for (let starved = false; !starved; ) {
      const status = zlibInflate(stream, Z_NO_FLUSH);
      const ended = status === Z_STREAM_END;
      // That it got no further is no fault: it waits for the next piece.
      if (!ended && status !== Z_OK && status !== Z_BUF_ERROR) throw new Error(stream.msg);
      starved = stream.avail_out > 0;
      if (stream.next_out > 0 && (ended || !starved)) {
        consumed?.(stream.total_in);
        yield stream.output.subarray(0, stream.next_out);
        makeRoom(stream);
      }
      if (ended) {
        consumed?.(stream.total_in);
        return;
      }
    }
  }
  throw new Error('unexpected end of file');
};

/** A new one each time: what was passed on belongs to whoever got it. */
function makeRoom(stream: ZStream): void {
  stream.output = new Uint8Array(ROOM);
  stream.next_out = 0;
  stream.avail_out = ROOM;
}

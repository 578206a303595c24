/**
 * Bytes at random places: a file on disk, or a text in memory. Units: bytes.
 * `read` gives fewer bytes than asked for only at the end, and rejects with an Error whose message tells why. It may put
 * them into `room`, where that is given and large enough.
 */
export interface ByteSource {
  readonly size: number;
  read(offset: number, length: number, room?: Uint8Array): Promise<Uint8Array>;
}

/**
 * Undoes "deflate" (raw, RFC 1951) chunk by chunk. Rejects where the bytes are no such stream or end too early. Whatever
 * it holds for that is given back when the stream has ended or nobody wants more of it.
 * @param consumed Told how many bytes of the stream have been taken up so far: before each piece is passed on, and once
 * more when the stream has ended. What follows then is not part of it.
 */
export type Inflate = (
  chunks: AsyncIterable<Uint8Array>,
  consumed?: (bytes: number) => void,
) => AsyncIterable<Uint8Array>;

/** How much is read at once: large enough that the disk, small enough that memory is no matter. */
const CHUNK = 1 << 18;
/** What is read first where it may be all that is wanted. */
const FIRST = 1 << 12;

/** Bytes in memory as a source. */
export const sourceOf = (bytes: Uint8Array): ByteSource => ({
  size: bytes.length,
  read: async (offset, length) =>
    bytes.subarray(Math.min(offset, bytes.length), Math.min(offset + length, bytes.length)),
});

/** So much is read at once for many small reads that stand side by side. */
const WINDOW = 1 << 16;

/** The same source for who reads little by little: what stands beside a small piece is read along with it. */
export function windowed(source: ByteSource): ByteSource {
  let begin = 0;
  let bytes: Uint8Array = new Uint8Array(0);
  return {
    size: source.size,
    async read(offset, length, room) {
      const end = Math.min(offset + length, source.size);
      if (offset >= begin && end <= begin + bytes.length) return bytes.subarray(offset - begin, end - begin);
      if (length >= WINDOW) return source.read(offset, length, room);
      bytes = await source.read(offset, WINDOW);
      begin = offset;
      return bytes.subarray(0, length);
    },
  };
}

/** What is needed of a file that is open. */
export interface OpenHandle {
  read(bytes: Uint8Array, at: number, length: number, position: number): Promise<{ readonly bytesRead: number }>;
}

/** A file as a source, with the size that it had when it was opened: what is added meanwhile is not read. */
export const sourceIn = (file: OpenHandle, size: number): ByteSource => ({
  size,
  async read(offset, length, room) {
    const wanted = Math.max(0, Math.min(length, size - offset));
    const bytes = room && room.length >= wanted ? room.subarray(0, wanted) : new Uint8Array(wanted);
    let got = 0;
    while (got < bytes.length) {
      const { bytesRead } = await file.read(bytes, got, bytes.length - got, offset + got);
      if (bytesRead === 0) break;
      got += bytesRead;
    }
    return got < bytes.length ? bytes.subarray(0, got) : bytes;
  },
});

/** The bytes from `start` up to `end` in pieces; the next piece is on its way while one is used. Ends early where the source does. */
export const piecesOf = (
  source: ByteSource,
  start: number,
  end: number,
  chunk: number = CHUNK,
): AsyncGenerator<Uint8Array, void, undefined> => pieces(source, start, end, chunk, []);

/** The same for who is done with each piece when the next one is asked for: it may lie where that one lay. */
export const passingPieces = (
  source: ByteSource,
  start: number,
  end: number,
): AsyncGenerator<Uint8Array, void, undefined> =>
  pieces(source, start, end, CHUNK, [new Uint8Array(CHUNK), new Uint8Array(CHUNK)]);

/** The same for what may end soon: the first piece is small, each next one four times as long, and only long ones are read ahead. */
export const growingPieces = (
  source: ByteSource,
  start: number,
  end: number,
): AsyncGenerator<Uint8Array, void, undefined> => pieces(source, start, end, FIRST, [], 4);

/** `rooms`: one for the piece that is used and one for the next, by turns; none: each piece lies in one of its own. */
async function* pieces(
  source: ByteSource,
  start: number,
  end: number,
  chunk: number,
  rooms: Uint8Array[],
  growth = 1,
): AsyncGenerator<Uint8Array, void, undefined> {
  let length = chunk;
  const ask = (at: number): Promise<Uint8Array> => {
    const room = rooms.shift();
    if (room) rooms.push(room);
    const read = source.read(at, Math.min(length, end - at), room);
    length = Math.max(chunk, Math.min(length * growth, CHUNK));
    read.catch(() => {}); // told where it is awaited, which may be never
    return read;
  };
  let next: Promise<Uint8Array> | null = null;
  for (let at = start; at < end; ) {
    const bytes = await (next ?? ask(at));
    if (bytes.length === 0) return;
    at += bytes.length;
    next = at < end && (growth === 1 || length === CHUNK) ? ask(at) : null;
    yield bytes;
  }
}

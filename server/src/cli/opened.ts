import { joined } from '../packages/bytes.ts';
import { type ContentKind, recognise } from '../packages/package.ts';
import { passingPieces, sourceOf } from '../packages/source.ts';
import type { Role } from '../syntax/role.ts';
import type { Io, OpenFile, Refusal } from './io.ts';

/** A file that was opened, does something with it, and closes it. What was rejected becomes a reason. */
export async function withFile<T>(
  io: Pick<Io, 'open'>,
  path: string,
  use: (file: OpenFile) => Promise<T>,
): Promise<T | { readonly reason: string }> {
  const file = await io.open(path);
  if ('reason' in file) return file;
  try {
    return await use(file);
  } catch (error) {
    return { reason: reasonOf(error) };
  } finally {
    await file.close();
  }
}

/** All bytes of a file, in pieces, each of which holds until the next is asked for. Throws where it ends before its end. */
export async function* bytesOf(file: OpenFile): AsyncGenerator<Uint8Array, void, undefined> {
  let seen = 0;
  for await (const piece of passingPieces(file, 0, file.size)) {
    seen += piece.length;
    yield piece;
  }
  if (seen < file.size)
    throw new Error('it became shorter while it was read; run the command again when it is at rest');
}

/** Longest text that is no program, and longest program that is fixed, bytes. */
export const LONGEST_TEXT = 64_000_000;

/** A sequence from here on is large: what its check leaves behind is cleared away early. Bytes. */
export const LARGE = 1_000_000;

/** What a sequence may be that is read at once, and the values of a job. */
export const SEQUENCES = { largest: LONGEST_TEXT, raise: null } as const;

/** What to do about a text that is too long to be read whole. */
export const SPLIT = 'Split it into shorter files.';

export const reasonOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** How much of standard input is looked at to see what it is, bytes. */
const HEAD = 1 << 16;

/** Why a program is not read. */
export const NO_TEXT = 'it is neither a text nor a package (zip or gzip) but binary; have it written as plain text';

/** What comes from standard input, to be read once; or why it is of no use. Rejects as the input does. */
export async function inputText(io: Pick<Io, 'input'>, role: Role): Promise<AsyncIterable<Uint8Array> | Refusal> {
  const begun = await begin(io.input(), HEAD);
  const reason = reasonAgainst(await recognise(sourceOf(begun.head())), role);
  if (reason === null) return begun.all();
  await begun.end();
  return { reason };
}

function reasonAgainst(kind: ContentKind, role: Role): string | null {
  if (kind === 'zip' || kind === 'gzip')
    return 'a package is read from its end, which standard input does not allow: name its file';
  if (role !== 'program') return null;
  return kind === 'empty' ? 'there is nothing in it' : kind === 'binary' ? NO_TEXT : null;
}

/** The first pieces of a stream, and all of them. */
export interface Begun {
  /** All bytes, where they are `most` or fewer; null where there are more. */
  readonly whole: Uint8Array | null;
  /** The bytes that were read so far. */
  head(): Uint8Array;
  /** From the beginning, to be read once. */
  all(): AsyncIterable<Uint8Array>;
  /** To be called where `all` is not read to its end. */
  end(): Promise<void>;
}

/** Reads until the end, or until there are more than `most` bytes. */
export async function begin(stream: AsyncIterable<Uint8Array>, most: number): Promise<Begun> {
  const rest = stream[Symbol.asyncIterator]();
  const pieces: Uint8Array[] = [];
  let length = 0;
  let done = false;
  while (!done && length <= most) {
    const next = await rest.next();
    done = next.done === true;
    if (next.done) break;
    // The stream may put its next piece where this one lies.
    pieces.push(next.value.slice());
    length += next.value.length;
  }
  return {
    whole: done ? joined(pieces, length) : null,
    head: () => joined(pieces, length),
    async *all() {
      // Each is let go as soon as it is used: memory stays the same however long the stream is.
      for (let piece = pieces.shift(); piece; piece = pieces.shift()) yield piece;
      while (!done) {
        const next = await rest.next();
        if (next.done) return;
        yield next.value;
      }
    },
    async end() {
      await rest.return?.();
    },
  };
}

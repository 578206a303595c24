import { joined } from '../text/bytes.ts';
import { sizeText } from '../text/size.ts';
import { UNREAD } from './disk.ts';

// The one way in which machine files, vocabularies and whatever else a file names are read: regular files only, up to a
// size, within a time, and where that is asked for inside some folders only.

/** Why a file is not read, as the rest of "FILE cannot be read:". */
export interface Refusal {
  readonly reason: string;
}

/** What lies at a path, links followed. `size`: bytes. */
export interface Looked {
  readonly what: 'file' | 'folder' | 'pipe' | 'socket' | 'device' | 'nothing known';
  readonly size: number;
}

/** A file that is open. */
export interface OpenedFile {
  look(): Promise<Looked>;
  /** Reads on from where the last call ended. How many bytes it put into `room`; 0 at the end. */
  read(room: Uint8Array): Promise<number>;
  close(): Promise<void>;
}

/** Where files come from: a disk, or an editor's folders. All calls reject with an error that has a `code`. */
export interface ReadingDisk {
  look(path: string): Promise<Looked>;
  isLink(path: string): Promise<boolean>;
  /** The same place without links in its path. */
  real(path: string): Promise<string>;
  /** Must not wait for anybody, as the opening of a pipe does by itself. */
  open(path: string): Promise<OpenedFile>;
}

/** A clock, handed in so that tests need not wait. */
export interface Clock {
  /** Runs once, after so many milliseconds; the result calls it off. */
  after(milliseconds: number, run: () => void): () => void;
}

export interface ReadLimits {
  /** Bytes. */
  readonly largest: number;
  /** What a person raises where that is too low, behind "raise"; null: nothing can be. */
  readonly raise: string | null;
  /** Folders in one of which the file must really lie, links followed; null: it may lie anywhere. */
  readonly within: readonly string[] | null;
}

/** How long a file may take, ms: what a disk does in a few is a drive out of reach after this. */
export const PATIENCE = 5000;

/** Bytes of a machine or vocabulary file where nothing else is set; a real one has a few thousand. */
export const LARGEST = 1_000_000;

/** How much is read at once, bytes. */
const PIECE = 1 << 16;

/** The bytes of a regular file, or why they are not read. Never rejects, and never waits longer than `PATIENCE`. */
export function readBounded(
  disk: ReadingDisk,
  path: string,
  limits: ReadLimits,
  clock: Clock,
): Promise<Uint8Array | Refusal> {
  return inTime(clock, (late) => readNow(disk, path, limits, late));
}

/**
 * What the work comes to, or that it took too long. Work that is late goes on unheard, since nothing can end a call to
 * the system; it may ask whether it is.
 */
export async function inTime<T>(clock: Clock, work: (late: () => boolean) => Promise<T>): Promise<T | Refusal> {
  let over = false;
  let callOff = (): void => {};
  const tooLong = new Promise<Refusal>((resolve) => {
    callOff = clock.after(PATIENCE, () => {
      over = true;
      resolve(LATE);
    });
  });
  const done = work(() => over).catch(refusalOf);
  return Promise.race([done, tooLong]).finally(() => callOff());
}

const LATE: Refusal = {
  reason: `there was no answer for ${PATIENCE / 1000} seconds, as from a network drive out of reach; check the connection, or copy the file to this disk`,
};

/** Whether a file was given up for its time. */
export const isLate = (reason: string | null): boolean => reason === LATE.reason;

function refusalOf(error: unknown): Refusal {
  const { code = '', message = String(error) } = (error ?? {}) as { readonly code?: string; readonly message?: string };
  return { reason: UNREAD[code] ?? message };
}

async function readNow(
  disk: ReadingDisk,
  path: string,
  limits: ReadLimits,
  late: () => boolean,
): Promise<Uint8Array | Refusal> {
  const place = limits.within === null ? path : await disk.real(path);
  if (limits.within !== null && !(await isWithin(disk, place, limits.within))) return OUTSIDE;
  // A device is not even opened: that alone may do something.
  const refused = await reasonAgainst(disk, path, await disk.look(place), limits);
  if (refused !== null) return { reason: refused };
  const file = await disk.open(place);
  try {
    // Another may have taken its place between the two.
    const opened = await file.look();
    const reason = await reasonAgainst(disk, path, opened, limits);
    return reason === null ? await allOf(file, limits, late) : { reason };
  } finally {
    file.close().catch(() => {
      // It was read, and nothing is to be done about it.
    });
  }
}

/** All bytes, and never more than the limit whatever is added meanwhile, or however little it is said to hold. */
async function allOf(file: OpenedFile, limits: ReadLimits, late: () => boolean): Promise<Uint8Array | Refusal> {
  const room = new Uint8Array(PIECE);
  const pieces: Uint8Array[] = [];
  let length = 0;
  while (!late()) {
    const got = await file.read(room);
    if (got === 0) return joined(pieces, length);
    pieces.push(room.slice(0, got));
    length += got;
    if (length > limits.largest) return { reason: tooLarge(null, limits) };
  }
  return LATE;
}

/** Why what was found is not read, as the rest of "FILE cannot be read:"; null where it is. */
async function reasonAgainst(
  disk: ReadingDisk,
  path: string,
  { what, size }: Looked,
  limits: ReadLimits,
): Promise<string | null> {
  if (what !== 'file') return notAFile(what, await disk.isLink(path).catch(() => false));
  return size > limits.largest ? tooLarge(size, limits) : null;
}

/** What lies there instead of a regular file, and what to do. */
export function notAFile(what: Exclude<Looked['what'], 'file'>, link: boolean): string {
  const [is, todo] = OTHERS[what];
  return `it is ${link ? `a link to ${is}` : is}; ${todo}`;
}

const REPLACE = 'put a regular file in its place';
const OTHERS: Readonly<Record<Exclude<Looked['what'], 'file'>, readonly [string, string]>> = {
  folder: ['a folder', 'name a file in it'],
  pipe: ['a pipe, which may keep a reader waiting forever', REPLACE],
  socket: ['a socket', REPLACE],
  device: ['a device, which need not have an end', REPLACE],
  'nothing known': ['neither a file nor a folder', REPLACE],
};

/** `size`: bytes; null: there was more than was said, as where a file grows while it is read. */
export function tooLarge(size: number | null, { largest, raise }: Pick<ReadLimits, 'largest' | 'raise'>): string {
  const has = size === null ? 'it goes on, or grows while it is read, to' : `it has ${sizeText(size)},`;
  const more = raise === null ? 'shorten it' : `shorten it, or raise ${raise}`;
  return `${has} more than the ${sizeText(largest)} that are read; ${more}`;
}

/** Of a file that a folder which nobody vouches for would have read elsewhere. */
export const OUTSIDE: Refusal = {
  reason:
    'it lies outside this workspace, which is not trusted; trust the workspace, or put a copy of the file into it',
};

async function isWithin(disk: ReadingDisk, place: string, folders: readonly string[]): Promise<boolean> {
  for (const folder of folders) {
    // A folder that is gone holds nothing.
    const real = await disk.real(folder).catch(() => null);
    const base = real?.replace(/[\\/]+$/, '');
    if (base !== undefined && place.startsWith(base) && /^[\\/]/.test(place.slice(base.length))) return true;
  }
  return false;
}

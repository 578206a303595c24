import { type Handle, newFile, type WritingDisk } from '../program/newFile.ts';
import type { Inflate } from '../program/source.ts';
import { type Hooks, helperIn, type Thread } from './helper.ts';
import type { Io, OpenFile, Refusal } from './io.ts';
import { type Disk, replaceFile } from './replaceFile.ts';

interface Status {
  readonly size: number;
  readonly mtimeMs: number;
  readonly ino: number;
  isFile(): boolean;
  isDirectory(): boolean;
}

interface Reading extends Handle {
  read(bytes: Uint8Array, at: number, length: number, position: number): Promise<{ readonly bytesRead: number }>;
  stat(): Promise<Status>;
}

/** What is needed of `node:zlib`'s raw inflater. */
export interface Inflater extends AsyncIterable<Uint8Array> {
  readonly bytesWritten: number;
  write(bytes: Uint8Array): boolean;
  end(): unknown;
  destroy(error?: Error): unknown;
  once(event: 'drain' | 'close', listener: () => void): unknown;
}

/** What is needed of Node, whose modules only the entry may import. */
export interface Node {
  readonly disk: Omit<Disk & WritingDisk, 'open' | 'stat'> & {
    open(path: string, flags: string): Promise<Reading>;
    stat(path: string): Promise<Status & { readonly mode: number }>;
    readdir(
      path: string,
      options: { readonly withFileTypes: true },
    ): Promise<{ readonly name: string; isDirectory(): boolean; isSymbolicLink(): boolean }[]>;
  };
  readonly path: Pick<Io, 'resolve'> & {
    readonly sep: string;
    basename(path: string): string;
    dirname(path: string): string;
    relative(from: string, to: string): string;
  };
  readonly process: {
    readonly pid: number;
    readonly stdin: AsyncIterable<Uint8Array>;
    readonly stdout: { readonly isTTY?: boolean; write(data: string | Uint8Array): unknown };
    readonly stderr: { readonly isTTY?: boolean; write(data: string): unknown };
    readonly env: Readonly<Record<string, string | undefined>>;
    cwd(): string;
    exit(code: number): never;
    on(signal: 'SIGINT' | 'SIGTERM' | 'SIGHUP', listener: () => void): unknown;
  };
  readonly cores: number;
  removeNow(path: string): void;
  inflater(): Inflater;
  hash(name: string): { update(bytes: Uint8Array): unknown; digest(form: 'hex'): string };
  thread(hooks: Hooks): Thread;
}

/** Why a file could not be used, for people; any other reason is told as the system words it. */
export const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'a part of its path is no folder',
  EISDIR: 'it is a folder',
  EACCES: 'you may not read it',
  EPERM: 'you may not read it',
  EMFILE: 'too many files are open; end other programs, or name fewer at once',
  EIO: 'the disk reports a fault in reading it',
  ENAMETOOLONG: 'its name is too long',
  ELOOP: 'its links lead in a circle',
};

/** The real world. Ended by a signal it takes away what it has half written. */
export function worldOf(node: Node, version: string): Io {
  const { path, process } = node;
  const folder = process.cwd();
  const unfinished = new Set<string>();
  const disk = tracked(node.disk, unfinished);
  const refusal = (error: unknown): Refusal => {
    const { code = '', message } = error as { readonly code?: string; readonly message: string };
    return { reason: REASONS[code] ?? message };
  };
  const asked = <T>(promise: Promise<T>): Promise<T | Refusal> => promise.catch(refusal);
  const entriesOf = async (at: string) => {
    const entries = await disk.readdir(at, { withFileTypes: true });
    return entries.map((entry) => ({ name: entry.name, folder: entry.isDirectory() }));
  };
  stopCleanly(node, unfinished);
  const terminal = process.stdout.isTTY === true;
  return {
    version,
    separator: path.sep,
    folder,
    terminal,
    errorTerminal: process.stderr.isTTY === true && process.env.TERM !== 'dumb',
    color: terminal && !process.env.NO_COLOR && process.env.TERM !== 'dumb',
    cores: node.cores,
    inflate: inflateWith(() => node.inflater()),
    now: () => performance.now(),
    readFile: (at) => asked(disk.readFile(at)),
    look: (at) =>
      asked(
        disk.stat(at).then((status) => {
          const kind = status.isFile() ? 'file' : status.isDirectory() ? 'folder' : 'other';
          return { kind, size: status.size } as const;
        }),
      ),
    open: (at) => asked(openFile(disk, at)),
    input: () => process.stdin,
    create: (at, { overwrite, from }) =>
      newFile(disk, at, { overwrite, from, folder: path.dirname(at), mark: `${process.pid}` }),
    hasher(kind) {
      const hash = node.hash(kind);
      return { update: (bytes) => void hash.update(bytes), digest: () => hash.digest('hex') };
    },
    helper: () => helperIn(node.thread),
    replaceFile: (at, before, after) => replaceFile(disk, at, before, after, `${process.pid}`),
    listFolder: (at) => entriesOf(at).catch(() => []),
    readFolder: (at) => asked(entriesOf(at)),
    resolve: path.resolve,
    parent: path.dirname,
    name: (at) => path.basename(at),
    shorten: (at) => path.relative(folder, at) || at,
    write: (text) => void process.stdout.write(text),
    writeBytes: (bytes) => void process.stdout.write(bytes),
    writeError: (text) => void process.stderr.write(text),
  };
}

/** The same disk, which notes the files that are begun and have no name of their own yet. */
function tracked(disk: Node['disk'], unfinished: Set<string>): Node['disk'] {
  const noted = <T>(path: string, promise: Promise<T>): Promise<T> => {
    unfinished.add(path);
    return promise.catch((error: unknown) => {
      // Where one is in the way it is another's; what a full disk cut short is ours.
      if ((error as { readonly code?: string }).code === 'EEXIST') unfinished.delete(path);
      throw error;
    });
  };
  return {
    ...disk,
    open: (path, flags) => (flags === 'wx' ? noted(path, disk.open(path, flags)) : disk.open(path, flags)),
    writeFile: (path, bytes, options) => noted(path, disk.writeFile(path, bytes, options)),
    rename: (from, to) => disk.rename(from, to).then(() => void unfinished.delete(from)),
    unlink: (path) => disk.unlink(path).then(() => void unfinished.delete(path)),
  };
}

/** Exit codes of a command that a signal ended are 128 and the signal's number (POSIX.1-2017, XCU 2.8.2). */
const SIGNALS = [
  ['SIGHUP', 1],
  ['SIGINT', 2],
  ['SIGTERM', 15],
] as const;

function stopCleanly({ process, removeNow }: Node, unfinished: ReadonlySet<string>): void {
  for (const [signal, number] of SIGNALS) {
    process.on(signal, () => {
      for (const file of unfinished) removeNow(file);
      process.exit(128 + number);
    });
  }
}

async function openFile(disk: Node['disk'], path: string): Promise<OpenFile> {
  const handle = await disk.open(path, 'r');
  const before = await handle.stat();
  let closed = false;
  return {
    size: before.size,
    async read(offset, length) {
      const bytes = new Uint8Array(Math.min(length, Math.max(0, before.size - offset)));
      let seen = 0;
      while (seen < bytes.length) {
        const { bytesRead } = await handle.read(bytes, seen, bytes.length - seen, offset + seen);
        if (bytesRead === 0) break;
        seen += bytesRead;
      }
      return seen < bytes.length ? bytes.subarray(0, seen) : bytes;
    },
    async changed() {
      const after = await handle.stat();
      const again = 'run the command again when it is at rest';
      if (after.size > before.size)
        return `it grew from ${before.size} to ${after.size} bytes while it was read; ${again}`;
      if (after.size < before.size)
        return `it shrank from ${before.size} to ${after.size} bytes while it was read; ${again}`;
      if (after.mtimeMs !== before.mtimeMs) return `it was written to while it was read; ${again}`;
      const there = await disk.stat(path).catch(() => null);
      if (!there) return 'it was taken away while it was read';
      return there.ino === before.ino ? null : `another file took its place while it was read; ${again}`;
    },
    async close() {
      if (closed) return;
      closed = true;
      await handle.close();
    },
  };
}

/** `Inflate` with a stream that does it. The stream works beside this thread while its last piece is used. */
export function inflateWith(make: () => Inflater): Inflate {
  return async function* (chunks, consumed) {
    const stream = make();
    let over = false;
    const closed = new Promise<void>((resolve) => stream.once('close', resolve));
    const feed = (async () => {
      try {
        for await (const chunk of chunks) {
          if (over) return;
          if (!stream.write(chunk)) await Promise.race([new Promise<void>((go) => stream.once('drain', go)), closed]);
        }
        if (!over) stream.end();
      } catch (error) {
        stream.destroy(error instanceof Error ? error : new Error(String(error)));
      }
    })();
    try {
      yield* stream;
      consumed?.(stream.bytesWritten);
    } finally {
      over = true;
      stream.destroy();
      await feed;
    }
  };
}

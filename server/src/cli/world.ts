import { type FileFacts, UNREAD } from '../files/disk.ts';
import { type ListingFs, listBounded } from '../files/list.ts';
import { type Handle, newFile, type WritingDisk } from '../files/newFile.ts';
import { lookedAt, type Stats } from '../files/nodeDisk.ts';
import { type Clock, LARGEST, type Looked, notAFile, type ReadingDisk, readBounded } from '../files/read.ts';
import { type ReplacingDisk, replaceFile } from '../files/replaceFile.ts';
import type { MakeHasher } from '../packages/sidecar.ts';
import { type Inflate, type OpenHandle, sourceIn } from '../packages/source.ts';
import { type Hooks, helperIn, type Thread } from './helper.ts';
import type { Io, OpenFile, Refusal } from './io.ts';
import { machineFiles } from './machineLimit.ts';

interface Status extends Stats {
  readonly mtimeMs: number;
  readonly ino: number;
}

interface Reading extends Handle, OpenHandle {
  stat(): Promise<Status>;
}

/** What is needed of Node, whose modules only the entry may import. */
export interface NodeModules {
  readonly disk: Omit<ReplacingDisk & WritingDisk, 'open' | 'stat'> & {
    open(path: string, flags: string | number, mode?: number): Promise<Reading>;
    stat(path: string): Promise<Status & FileFacts>;
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
    readonly stdin: AsyncIterable<Uint8Array>;
    readonly stdout: { readonly isTTY?: boolean; write(data: string | Uint8Array): unknown };
    readonly stderr: { readonly isTTY?: boolean; write(data: string): unknown };
    readonly env: Readonly<Record<string, string | undefined>>;
    cwd(): string;
    exit(code: number): never;
    on(signal: 'SIGINT' | 'SIGTERM' | 'SIGHUP', listener: () => void): unknown;
  };
  /** Reads bounded: never a file that is read at once in a thread of its own. */
  readonly reading: ReadingDisk & ListingFs;
  /** Flags of `open` for reading without waiting for whoever writes into a pipe. */
  readonly atOnce: number;
  readonly clock: Clock;
  /** A mark that no other file on its way has, and what takes away those of killed runs. */
  freshMark(): string;
  tidy(target: string): Promise<void>;
  readonly cores: number;
  removeNow(path: string): void;
  readonly inflate: Inflate;
  readonly hasher: MakeHasher;
  spareMemory(): void;
  thread(hooks: Hooks): Thread;
}

/** The real world. Ended by a signal it takes away what it has half written. */
export function worldOf(node: NodeModules, version: string): Io {
  const { path, process } = node;
  const folder = process.cwd();
  const unfinished = new Set<string>();
  const disk = tracked(node.disk, unfinished);
  const refusal = (error: unknown): Refusal => {
    const { code = '', message } = error as { readonly code?: string; readonly message: string };
    return { reason: UNREAD[code] ?? message };
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
    inflate: node.inflate,
    hasher: node.hasher,
    spareMemory: node.spareMemory,
    now: () => performance.now(),
    readFile: (at, limits = machineFiles(LARGEST)) =>
      readBounded(node.reading, at, { ...limits, within: null }, node.clock),
    look: (at) =>
      asked(
        node.reading.look(at).then(async ({ what, size }) => {
          if (what === 'file' || what === 'folder') return { kind: what, size };
          return { reason: notAFile(what, await node.reading.isLink(at)) };
        }),
      ),
    open: (at) => asked(openFile(node, disk, at)),
    input: () => process.stdin,
    create: (at, { overwrite, from }) =>
      newFile(disk, at, { overwrite, from, folder: path.dirname(at), mark: node.freshMark(), tidy: node.tidy }),
    helper: () => helperIn(node.thread),
    replaceFile: (at, before, after) => replaceFile(disk, at, before, after, node.freshMark(), node.tidy),
    async listFolder(at) {
      const entries = await listBounded(node.reading, at, node.clock);
      return 'reason' in entries ? [] : entries;
    },
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
function tracked(disk: NodeModules['disk'], unfinished: Set<string>): NodeModules['disk'] {
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
    open: (path, flags, mode) =>
      flags === 'wx' ? noted(path, disk.open(path, flags, mode)) : disk.open(path, flags, mode),
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

function stopCleanly({ process, removeNow }: NodeModules, unfinished: ReadonlySet<string>): void {
  for (const [signal, number] of SIGNALS) {
    process.on(signal, () => {
      for (const file of unfinished) removeNow(file);
      process.exit(128 + number);
    });
  }
}

async function openFile({ reading, atOnce }: NodeModules, disk: NodeModules['disk'], path: string): Promise<OpenFile> {
  const refuseOther = async ({ what }: Looked): Promise<void> => {
    if (what !== 'file') throw new Error(notAFile(what, await reading.isLink(path)));
  };
  await refuseOther(await reading.look(path));
  // A pipe that took its place meanwhile would keep whoever opens it waiting for somebody to write.
  const handle = await disk.open(path, atOnce);
  const before = await handle.stat();
  await refuseOther(lookedAt(before)).catch(async (error: unknown) => {
    await handle.close();
    throw error;
  });
  let closed = false;
  return {
    ...sourceIn(handle, before.size),
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

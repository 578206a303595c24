import { sizeText } from '../packages/entry.ts';
import { type Disk, keepFacts, REASONS, reasonNotToReplace } from './disk.ts';

/** A file that is open. */
export interface Handle {
  writeFile(bytes: Uint8Array): Promise<void>;
  sync(): Promise<void>;
  close(): Promise<void>;
}

/** What is needed of `node:fs/promises` to begin a file. */
export interface WritingDisk extends Disk {
  open(path: string, flags: string, mode?: number): Promise<Handle>;
  link(existing: string, path: string): Promise<void>;
}

/** A file on its way: it takes its name when it is whole, and leaves nothing behind where it is dropped. */
export interface NewFile {
  /** Rejects with an Error whose message is the rest of "cannot write FILE:". */
  write(bytes: Uint8Array): Promise<void>;
  /** Gives it its name, once every byte is on the disk. Why it could not, as the same rest; null where it did. */
  keep(): Promise<string | null>;
  /** Takes it away. Does nothing once it was kept. */
  drop(): Promise<void>;
}

export interface NewFileOptions {
  /**
   * It may take the place of a file that is there already. Links are followed, permissions kept, owner and group where
   * the system allows it; a file of several names (hard links) is refused.
   */
  readonly overwrite: boolean;
  /** Tells this run's temporary file from another's. */
  readonly mark: string;
  /** A file that must not be overwritten: where the bytes come from. */
  readonly from?: string;
  /** Takes away what killed runs left beside the file, whose place without links it is given. */
  tidy?(target: string): Promise<void>;
  /** The folder of `path`, to have the new name itself put on the disk. */
  readonly folder?: string;
}

/**
 * Begins a file, under another name beside it.
 * @param path Given by a person, never by a package.
 * @returns Or why not, as the rest of "cannot write FILE:". Never rejects.
 */
export async function newFile(
  disk: WritingDisk,
  path: string,
  options: NewFileOptions,
): Promise<NewFile | { readonly reason: string }> {
  try {
    const there = await disk.realpath(path).catch(orNull('ENOENT'));
    const reason = there === null ? null : await reasonNotToTake(disk, there, options);
    if (reason !== null) return { reason };
    const target = there ?? path;
    await options.tidy?.(target);
    const beside = `${target}.${options.mark}.tmp`;
    // What replaces a file is nobody else's to read until it has that file's permissions.
    const handle = there === null ? await disk.open(beside, 'wx') : await disk.open(beside, 'wx', OWN);
    return begun(disk, handle, { beside, target, replaces: there !== null, folder: options.folder });
  } catch (error) {
    return { reason: reasonOf(error, OPENING) };
  }
}

/** Read and written by its owner (POSIX.1-2017, sys/stat.h). */
const OWN = 0o600;

interface Names {
  readonly beside: string;
  readonly target: string;
  readonly replaces: boolean;
  readonly folder: string | undefined;
}

function begun(disk: WritingDisk, handle: Handle, { beside, target, replaces, folder }: Names): NewFile {
  let written = 0;
  let state: 'open' | 'closed' | 'kept' = 'open';
  const close = async (): Promise<void> => {
    if (state !== 'open') return;
    state = 'closed';
    await handle.close();
  };
  const drop = async (): Promise<void> => {
    if (state === 'kept') return;
    await close().catch(() => {});
    await disk.unlink(beside).catch(() => {});
  };
  return {
    async write(bytes) {
      try {
        await handle.writeFile(bytes);
        written += bytes.length;
      } catch (error) {
        throw new Error(reasonOf(error, writing(written)));
      }
    },
    async keep() {
      try {
        await handle.sync();
        await close();
        if (replaces) {
          await keepFacts(disk, beside, await disk.stat(target));
          await disk.rename(beside, target);
        } else if (!(await giveName(disk, beside, target))) {
          await drop();
          return ALREADY;
        }
        state = 'kept';
        if (folder !== undefined) await syncFolder(disk, folder);
        return null;
      } catch (error) {
        await drop();
        return reasonOf(error, writing(written));
      }
    },
    drop,
  };
}

const ALREADY = 'there is such a file already; give another name, or say that it may be overwritten';

const OPENING: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such folder; make it first',
  ENOTDIR: 'what should be its folder is a file',
  ENAMETOOLONG: 'the name is too long for this disk; give a shorter one',
  EINVAL: 'this disk cannot have a file of that name; give a plainer one',
};

const writing = (written: number): Readonly<Record<string, string>> => {
  const after = `after ${sizeText(written)}`;
  return {
    ENOSPC: `the disk is full ${after}, and nothing is left of it; make room or take another disk`,
    EDQUOT: `your share of the disk is full ${after}, and nothing is left of it; make room`,
    // FAT32, on many sticks: sizes have 32 bits (Microsoft FAT specification 1.03, DIR_FileSize).
    EFBIG: `this disk takes no file so large (stopped ${after}); sticks with FAT32 end at 4.3 GB. Take another one`,
    EIO: `the disk failed ${after}; do not rely on it and take another one`,
  };
};

function reasonOf(error: unknown, first: Readonly<Record<string, string>>): string {
  const { code = '', message = String(error) } = (error ?? {}) as { readonly code?: string; readonly message?: string };
  return first[code] ?? REASONS[code] ?? message;
}

async function reasonNotToTake(disk: WritingDisk, there: string, options: NewFileOptions): Promise<string | null> {
  const from = options.from === undefined ? null : await disk.realpath(options.from).catch(orNull('ENOENT'));
  if (there === from) return 'it is the package itself; give another name';
  if (!(await disk.stat(there)).isFile()) return 'there is a folder or device of that name; give the name of a file';
  return options.overwrite ? reasonNotToReplace(disk, there) : ALREADY;
}

/** Names a finished file, unless a file has that name by now: a link is never put over a file, a rename is. */
async function giveName(disk: WritingDisk, beside: string, target: string): Promise<boolean> {
  try {
    await disk.link(beside, target);
  } catch (error) {
    if ((error as { readonly code?: string }).code === 'EEXIST') return false;
    // No links on this disk, as on most sticks: look, then rename.
    const free = (await disk.stat(target).catch(orNull('ENOENT'))) === null;
    if (free) await disk.rename(beside, target);
    return free;
  }
  await disk.unlink(beside).catch(() => {});
  return true;
}

/** A stick may be pulled out the next moment. */
async function syncFolder(disk: WritingDisk, folder: string): Promise<void> {
  try {
    const handle = await disk.open(folder, 'r');
    await handle.sync().finally(() => handle.close());
  } catch {
    // Some systems know no such thing; the file is whole all the same.
  }
}

const orNull =
  (expected: string) =>
  (error: unknown): null => {
    if ((error as { readonly code?: string }).code === expected) return null;
    throw error;
  };

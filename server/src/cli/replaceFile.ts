/** What is needed of `node:fs/promises`, which only the entry may import. */
export interface Disk {
  realpath(path: string): Promise<string>;
  stat(path: string): Promise<{ readonly mode: number; isFile(): boolean }>;
  access(path: string, mode: number): Promise<void>;
  readFile(path: string): Promise<Uint8Array>;
  writeFile(
    path: string,
    bytes: Uint8Array,
    options: { readonly flag: string; readonly mode: number; readonly flush: boolean },
  ): Promise<void>;
  chmod(path: string, mode: number): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  unlink(path: string): Promise<void>;
}

/** `access`: may be written (POSIX.1-2017, unistd.h W_OK). */
const WRITABLE = 2;

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'it is no longer there',
  EACCES: 'you may not write there',
  EPERM: 'you may not write there',
  EROFS: 'the disk is read-only',
  ENOSPC: 'the disk is full',
  EEXIST: 'a temporary file of an earlier run is in the way',
};

/**
 * Puts other bytes in the place of a file's, all or none: they are written beside it, and the new file then takes the
 * old one's name. Nothing happens where the file no longer holds `before`. Links are followed, permissions kept.
 * @param mark Tells this run's temporary file from another's.
 * @returns Why it was not done, as the rest of "cannot write FILE:"; null where it was.
 */
export async function replaceFile(
  disk: Disk,
  path: string,
  before: Uint8Array,
  after: Uint8Array,
  mark: string,
): Promise<string | null> {
  let temporary: string | null = null;
  try {
    const target = await disk.realpath(path);
    const status = await disk.stat(target);
    if (!status.isFile()) return 'it is no plain file';
    // Taking the name over needs no permission on the file itself, so its owner's wish is asked for.
    if ((status.mode & 0o222) === 0) return 'it is read-only';
    await disk.access(target, WRITABLE);
    const mode = status.mode & 0o7777;
    const beside = `${target}.${mark}.tmp`;
    await disk.writeFile(beside, after, { flag: 'wx', mode, flush: true });
    temporary = beside;
    await disk.chmod(beside, mode); // the process's mask took part above
    if (!isSame(await disk.readFile(target), before)) {
      await disk.unlink(beside);
      return 'it was changed meanwhile; run the command again';
    }
    await disk.rename(beside, target);
    return null;
  } catch (error) {
    if (temporary !== null) await disk.unlink(temporary).catch(() => {});
    const { code = '', message } = error as { readonly code?: string; readonly message: string };
    return REASONS[code] ?? message;
  }
}

/** Whether two files hold the same bytes. */
export const isSame = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);

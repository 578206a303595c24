/** What is needed of `node:fs/promises`, which only entries may import. */
export interface Disk {
  realpath(path: string): Promise<string>;
  stat(path: string): Promise<FileFacts>;
  chown(path: string, uid: number, gid: number): Promise<void>;
  access(path: string, mode: number): Promise<void>;
  chmod(path: string, mode: number): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  unlink(path: string): Promise<void>;
}

/** What a file has beside its bytes. `nlink`: under how many names it stands. */
export interface FileFacts {
  readonly mode: number;
  readonly uid: number;
  readonly gid: number;
  readonly nlink: number;
  isFile(): boolean;
}

/** `access`: may be written (POSIX.1-2017, unistd.h W_OK). */
const WRITABLE = 2;

/** What the system's errors say, as the rest of "cannot write FILE:". */
export const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'it is no longer there',
  EACCES: 'you may not write there',
  EPERM: 'you may not write there',
  EROFS: 'the disk is read-only',
  ENOSPC: 'the disk is full',
  EEXIST: 'a temporary file of an earlier run is in the way',
};

/** The same for reading, as the rest of "cannot read FILE:"; any other reason is told as the system words it. */
export const UNREAD: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'a part of its path is no folder',
  EISDIR: 'it is a folder',
  EACCES: 'you may not read it',
  EPERM: 'you may not read it',
  EMFILE: 'too many files are open; end other programs, or name fewer at once',
  EIO: 'the disk reports a fault in reading it',
  ENAMETOOLONG: 'its name is too long',
  ELOOP: 'its links lead in a circle',
  ENXIO: 'it is a socket or a pipe with nobody at its other end; put a regular file in its place',
  // As the editor's own folders name them.
  FileNotFound: 'there is no such file',
  FileIsADirectory: 'it is a folder',
  NoPermissions: 'you may not read it',
  EAGAIN: 'nothing comes from it; put a regular file in its place',
};

/** Why a file is not to be replaced, as the rest of "cannot write FILE:"; null where it may be. Rejects as the disk does. */
export async function reasonNotToReplace(disk: Disk, target: string): Promise<string | null> {
  const status = await disk.stat(target);
  if (!status.isFile()) return 'it is no plain file';
  // Taking the name over needs no permission on the file itself, so its owner's wish is asked for.
  if ((status.mode & 0o222) === 0) return 'it is read-only';
  // A new file takes one name over; under the others the old content would stay.
  if (status.nlink > 1)
    return `it stands under ${status.nlink} names (hard links), and only this one would get the new content; replace it by a copy of itself first`;
  await disk.access(target, WRITABLE);
  return null;
}

/** Gives a new file the permissions of the one that it replaces, and its owner and group where the system allows that. */
export async function keepFacts(disk: Disk, path: string, { mode, uid, gid }: FileFacts): Promise<void> {
  const now = await disk.stat(path);
  const mayNot = (): void => {
    // Only the superuser gives files away (POSIX.1-2017, chown).
  };
  if (now.uid !== uid) await disk.chown(path, uid, gid).catch(mayNot);
  if (now.gid !== gid) await disk.chown(path, -1, gid).catch(mayNot);
  // Behind it: a change of the owner takes bits away.
  await disk.chmod(path, mode & 0o7777);
}

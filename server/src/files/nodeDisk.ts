import type { Looked, OpenedFile, ReadingDisk } from './read.ts';

/** What is asked of the system's `stat`. */
export interface Stats {
  readonly size: number;
  isFile(): boolean;
  isDirectory(): boolean;
  isFIFO(): boolean;
  isSocket(): boolean;
  isCharacterDevice(): boolean;
  isBlockDevice(): boolean;
}

/** What is needed of `node:fs/promises` for reading, which only entries may import. */
export interface ReadingFs {
  stat(path: string): Promise<Stats>;
  lstat(path: string): Promise<{ isSymbolicLink(): boolean }>;
  realpath(path: string): Promise<string>;
  open(
    path: string,
    flags: number,
  ): Promise<{
    stat(): Promise<Stats>;
    read(room: Uint8Array, at: number, length: number, position: null): Promise<{ readonly bytesRead: number }>;
    close(): Promise<void>;
  }>;
}

/** A disk as Node has it. `flags`: opens for reading, without waiting for whoever writes into a pipe (O_NONBLOCK). */
export const readingDisk = (fs: ReadingFs, flags: number): ReadingDisk => ({
  look: async (path) => lookedAt(await fs.stat(path)),
  isLink: async (path) => (await fs.lstat(path)).isSymbolicLink(),
  real: (path) => fs.realpath(path),
  async open(path): Promise<OpenedFile> {
    const handle = await fs.open(path, flags);
    return {
      look: async () => lookedAt(await handle.stat()),
      read: async (room) => (await handle.read(room, 0, room.length, null)).bytesRead,
      close: () => handle.close(),
    };
  },
});

/** What the system says of a file, in our words. */
export function lookedAt(stats: Stats): Looked {
  const { size } = stats;
  if (stats.isFile()) return { what: 'file', size };
  if (stats.isDirectory()) return { what: 'folder', size };
  if (stats.isFIFO()) return { what: 'pipe', size };
  if (stats.isSocket()) return { what: 'socket', size };
  return { what: stats.isCharacterDevice() || stats.isBlockDevice() ? 'device' : 'nothing known', size };
}

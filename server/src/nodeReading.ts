import { constants, readSync } from 'node:fs';
import * as fs from 'node:fs/promises';
import { readingDisk } from './files/nodeDisk.ts';

/** For reading, and without waiting for whoever writes into a pipe (POSIX.1-2017, open: O_NONBLOCK; Windows knows none). */
export const READ_AT_ONCE = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

/** The disk, as bounded reading needs it. */
export const nodeDisk = { ...readingDisk(fs, READ_AT_ONCE), opendir: (path: string) => fs.opendir(path) };

/** Timers of the system; none of them keeps a process alive. */
export const nodeClock = {
  after(milliseconds: number, run: () => void) {
    const timer = setTimeout(run, milliseconds);
    timer.unref();
    return () => clearTimeout(timer);
  },
};

/**
 * Opens a file that is read at once, for a thread that has nothing else to do meanwhile: the threads that read for a whole
 * process would take turns with it on its core.
 */
export async function openAtOnce(...asked: Parameters<typeof fs.open>): Promise<fs.FileHandle> {
  const file = await fs.open(...asked);
  const read = async (bytes: Uint8Array, at: number, length: number, position: number) => ({
    bytesRead: readSync(file.fd, bytes, at, length, position),
    buffer: bytes,
  });
  return Object.assign(file, { read });
}

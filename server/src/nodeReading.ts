import { constants } from 'node:fs';
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

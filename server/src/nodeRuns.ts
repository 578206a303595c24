import { createHash, randomBytes } from 'node:crypto';
import * as fs from 'node:fs/promises';
import { hostname } from 'node:os';
import { dirname, join } from 'node:path';
import { markOf, type Runs, removeLeftovers } from './files/leftovers.ts';

const runs: Runs = {
  host: createHash('sha256').update(hostname()).digest('hex').slice(0, 6),
  pid: process.pid,
  started: Date.now() - process.uptime() * 1000,
  fresh: () => randomBytes(3).toString('hex'),
  isAlive(pid) {
    try {
      process.kill(pid, 0); // asks only (POSIX.1-2017, kill: signal 0)
      return true;
    } catch (error) {
      return (error as NodeJS.ErrnoException).code !== 'ESRCH';
    }
  },
  now: Date.now,
};

/** Tells a temporary file of this run from all others. */
export const freshMark = (): string => markOf(runs);

/** Takes away what killed runs left in the folder of a file that is to be written. */
export const tidy = (target: string): Promise<void> =>
  removeLeftovers(fs, { folder: dirname(target), uid: process.getuid?.() ?? null, join }, runs);

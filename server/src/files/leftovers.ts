// Files that are on their way have a name of their own beside the one that they will get. A run that was killed leaves
// such a file behind, and the next run that writes there takes it away: its own kind only, and only where nobody can
// still be writing it.

/** Which run this is, and what is known of others. */
export interface Runs {
  /** Letters and digits that stand for this machine: a folder may be shared with others. */
  readonly host: string;
  readonly pid: number;
  /** When this process began, ms since 1970. */
  readonly started: number;
  /** Letters and digits that no other file of this process has. */
  fresh(): string;
  /** Whether a process of this machine runs. */
  isAlive(pid: number): boolean;
  /** ms since 1970. */
  now(): number;
}

/** What is needed of `node:fs/promises`. */
export interface LeftoverDisk {
  readdir(path: string): Promise<readonly string[]>;
  lstat(path: string): Promise<{ readonly mtimeMs: number; readonly uid: number; isFile(): boolean }>;
  unlink(path: string): Promise<void>;
}

/** What stands between a file's name and `.tmp` while it is written. */
export const markOf = ({ host, pid, fresh }: Runs): string => `bookend-${host}-${pid}-${fresh()}`;

/** How much clocks may disagree, ms. */
const JITTER = 5000;

const MARK = /.\.bookend-([a-z0-9]+)-(\d+)-[a-z0-9]+\.tmp$/;

/** How long nobody must have written to a file whose run is not known to have ended, ms: a week. */
const OLD = 7 * 24 * 3600 * 1000;

/** The folder in which somebody writes, and who. */
export interface Written {
  readonly folder: string;
  /** null where the system has no numbers for persons. */
  readonly uid: number | null;
  join(folder: string, name: string): string;
}

/** Takes away what killed runs left in a folder. Where it cannot, it stays: that is no reason not to write. */
export async function removeLeftovers(disk: LeftoverDisk, { folder, uid, join }: Written, runs: Runs): Promise<void> {
  const names = await disk.readdir(folder).catch((): readonly string[] => []);
  for (const one of names) {
    const mark = MARK.exec(one);
    if (!mark) continue;
    const path = join(folder, one);
    const status = await disk.lstat(path).catch(() => null);
    if (!status?.isFile() || (uid !== null && status.uid !== uid)) continue;
    const pid = Number(mark[2]);
    // In a container each run may have the same number: what is older than this run is of an earlier one.
    const earlier = pid === runs.pid && status.mtimeMs < runs.started - JITTER;
    const ended = mark[1] === runs.host && (earlier || !runs.isAlive(pid));
    if (ended || runs.now() - status.mtimeMs > OLD) await disk.unlink(path).catch(() => {});
  }
}

import { checkFile } from './checkFile.ts';
import type { FileCheck, FileOutcome } from './fileCheck.ts';
import type { Helper, Io } from './io.ts';
import type { Finder } from './machines.ts';
import { reasonOf } from './opened.ts';
import { IN_ONE_PIECE } from './programText.ts';
import { counting } from './progress.ts';

/** A job and how large its file is, bytes; null where that is not known. */
export interface Sized {
  readonly job: FileCheck;
  readonly size: number | null;
}

/**
 * Checks files and gives what came of them in their order. Long ones are checked at the same time, one on each core;
 * short ones, and a long one that is alone, here: a helper takes about a tenth of a second to begin.
 */
export async function* checkAll(
  all: readonly Sized[],
  io: Io,
  finder: Finder,
  read: (bytes: number) => void,
): AsyncGenerator<FileOutcome, void, undefined> {
  const long = all.filter(({ job, size }) => !job.input && job.fix === null && (size ?? 0) > IN_ONE_PIECE);
  const count = Math.min(io.cores, long.length);
  const crew = count > 1 ? crewOf(long, io, count, read) : null;
  const counted = counting(io, read);
  try {
    for (const one of all) yield await (crew?.results.get(one) ?? checkFile(one.job, counted, finder));
  } finally {
    crew?.end();
  }
}

function crewOf(long: readonly Sized[], io: Io, count: number, read: (bytes: number) => void) {
  const helpers: Helper[] = [];
  const results = new Map<Sized, Promise<FileOutcome>>();
  const deliver = new Map<Sized, (checked: FileOutcome) => void>();
  for (const one of long) results.set(one, new Promise((resolve) => deliver.set(one, resolve)));
  const queue = [...long];
  let ended = false;
  const work = async (): Promise<void> => {
    let helper = io.helper();
    helpers.push(helper);
    for (let one = queue.shift(); one && !ended; one = queue.shift()) {
      const { job } = one;
      let alive = true;
      const checked = await helper.check(job, read).catch((error: unknown): FileOutcome => {
        alive = false;
        const errors = `bookend: cannot check ${job.path}: its helper ended: ${reasonOf(error)}.\n`;
        return { reports: [], used: [], notFollowed: [], failed: true, errors };
      });
      deliver.get(one)?.(checked);
      if (!alive && queue.length > 0) {
        helper.end();
        helper = io.helper();
        helpers.push(helper);
      }
    }
    helper.end();
  };
  for (let i = 0; i < count; i++) void work();
  return {
    results,
    end(): void {
      ended = true;
      for (const helper of helpers) helper.end();
    },
  };
}

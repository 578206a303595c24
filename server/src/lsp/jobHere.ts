import type { MakeHasher } from '../packages/sidecar.ts';
import type { Inflate } from '../packages/source.ts';
import { clientJobFiles, eitherJobFiles } from './clientJobFiles.ts';
import type { JobFiles } from './jobFiles.ts';
import { pauseEvery, tellSome } from './jobPace.ts';
import type { StartJob } from './jobs.ts';
import { runJob } from './runJob.ts';

/** What checks of whole files take from the world. */
export interface JobWorkshop {
  readonly inflate: Inflate;
  /** null: checksums cannot be reckoned here. */
  readonly hasher: MakeHasher | null;
  /** Files by file: URI; null where there is no disk. */
  readonly files: JobFiles | null;
  /** Milliseconds since any moment. */
  now(): number;
  /** Lets what waits to be done be done. */
  rest(): Promise<void>;
}

/** Runs checks right here, in slices: in a thread that does nothing else, or in a session that is the only thread. */
export const jobHere =
  ({ inflate, hasher, files, now, rest }: JobWorkshop): StartJob =>
  (request, { progress, ask }) => {
    let cancelled = false;
    const answer = runJob(request, {
      files: eitherJobFiles(files, clientJobFiles(ask)),
      inflate,
      hasher,
      progress: tellSome(now, progress),
      cancelled: () => cancelled,
      pause: pauseEvery(now, rest),
    });
    return {
      answer,
      cancel: () => {
        cancelled = true;
      },
    };
  };

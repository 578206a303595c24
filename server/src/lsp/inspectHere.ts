import type { MakeHasher } from '../packages/sidecar.ts';
import type { Inflate } from '../packages/source.ts';
import { clientJobFiles, eitherInspectedFiles } from './clientInspectedFiles.ts';
import type { InspectedFiles } from './inspectedFiles.ts';
import { pauseEvery, tellSome } from './inspectionPace.ts';
import type { StartInspection } from './inspections.ts';
import { runInspection } from './runInspection.ts';

/** What checks of whole files take from the world. */
export interface InspectionWorkshop {
  readonly inflate: Inflate;
  /** null: checksums cannot be reckoned here. */
  readonly hasher: MakeHasher | null;
  /** Files by file: URI; null where there is no disk. */
  readonly files: InspectedFiles | null;
  /** Milliseconds since any moment. */
  now(): number;
  /** Lets what waits to be done be done. */
  rest(): Promise<void>;
}

/** Runs checks right here, in slices: in a thread that does nothing else, or in a session that is the only thread. */
export const inspectHere =
  ({ inflate, hasher, files, now, rest }: InspectionWorkshop): StartInspection =>
  (request, { progress, ask }) => {
    let cancelled = false;
    const answer = runInspection(request, {
      files: eitherInspectedFiles(files, clientJobFiles(ask)),
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

import type { CancellationToken, Connection } from 'vscode-languageserver';
import { LIMITS } from '../program/package.ts';
import type { MakeHasher } from '../program/sidecar.ts';
import type { Inflate } from '../program/source.ts';
import { severitiesOf } from '../service/severity.ts';
import type { Chooser } from './choice.ts';
import { clientJobFiles, eitherJobFiles } from './clientJobFiles.ts';
import type { Documents } from './documents.ts';
import type { Engine } from './engine.ts';
import { type CheckJobParams, JOB_PROGRESS, type JobAnswer, type JobProgress } from './jobMessages.ts';
import { pauseEvery, tellSome } from './jobPace.ts';
import type { MachineStore } from './machines.ts';
import { type JobFiles, type JobRequest, runJob } from './runJob.ts';
import { machineItem } from './session.ts';
import type { SettingsStore } from './settings.ts';
import { nameOf, schemeOf } from './uri.ts';

/** A check that runs beside the session. */
export interface Beside {
  /** Never rejects. */
  readonly answer: Promise<JobAnswer>;
  cancel(): void;
}

/** What checks of whole files take from the world. */
export interface JobRuntime {
  readonly inflate: Inflate;
  /** null: checksums cannot be reckoned here. */
  readonly hasher: MakeHasher | null;
  /** Files by file: URI, for checks in the session itself; null where there is no disk. */
  readonly files: JobFiles | null;
  /** Starts a check of files on the disk in a thread of its own; null: all run in the session, in slices. */
  readonly beside: ((request: JobRequest, progress: (done: number, total: number | null) => void) => Beside) | null;
  /** Milliseconds since any moment. */
  now(): number;
  /** Lets what waits to be done be done. */
  rest(): Promise<void>;
}

export interface Jobs {
  check(params: CheckJobParams, cancel: CancellationToken): Promise<JobAnswer>;
  /** Ends all checks; kept once they have put their files away. */
  end(): Promise<void>;
}

export interface JobParts {
  readonly engine: Engine;
  readonly connection: Connection;
  readonly runtime: JobRuntime;
  readonly documents: Documents;
  readonly settings: SettingsStore;
  readonly chooser: Chooser;
  readonly machines: MachineStore;
  readonly docs: string | null;
}

/** "Check this job…": chooses the machine as for any text, and lets the check run where it keeps nobody waiting. */
export function makeJobs(parts: JobParts): Jobs {
  const { connection, runtime, chooser } = parts;
  const files = eitherJobFiles(
    runtime.files,
    clientJobFiles((method, params) => connection.sendRequest(method, params)),
  );
  const running = new Set<Beside>();

  const inSession = (request: JobRequest, progress: (done: number, total: number | null) => void): Beside => {
    let cancelled = false;
    const answer = runJob(request, {
      files,
      inflate: runtime.inflate,
      hasher: runtime.hasher,
      progress: tellSome(runtime.now, progress),
      cancelled: () => cancelled,
      pause: pauseEvery(runtime.now, runtime.rest),
    });
    return {
      answer,
      cancel: () => {
        cancelled = true;
      },
    };
  };

  return {
    async check(params, cancel) {
      if (params.machine !== undefined) chooser.pick(params.uri, params.machine);
      else {
        const question = await whichMachine(params.uri, parts);
        if (question) return question;
      }
      const request = await requestOf(params, parts);
      if (cancel.isCancellationRequested) return { kind: 'cancelled' };
      const onDisk = [request.uri, request.target ?? request.uri].every((uri) => schemeOf(uri) === 'file');
      const start = (onDisk && runtime.beside) || inSession;
      const work = start(request, (done, total) => {
        const progress: JobProgress = { token: params.token, done, total };
        connection.sendNotification(JOB_PROGRESS, progress).catch(() => {
          // The client is gone; it cancels nothing any more, and `end` will.
        });
      });
      running.add(work);
      const listener = cancel.onCancellationRequested(() => work.cancel());
      try {
        return await work.answer;
      } finally {
        listener.dispose();
        running.delete(work);
      }
    },
    async end() {
      for (const work of running) work.cancel();
      await Promise.all([...running].map(({ answer }) => answer));
    },
  };
}

/** What the person is asked where no machine file belongs to a job, and there are some that could; null: nothing. */
async function whichMachine(uri: string, { engine, settings, chooser }: JobParts): Promise<JobAnswer | null> {
  const { file, picked, reason } = await chooser.of(uri, await settings.of(uri));
  if (file?.machine || picked) return null;
  const known = await chooser.known(uri);
  return known.length === 0 ? null : { kind: 'machine', reason, known: known.map((one) => machineItem(engine, one)) };
}

async function requestOf({ uri, entry, target }: CheckJobParams, parts: JobParts): Promise<JobRequest> {
  const { documents, settings, chooser, machines, docs } = parts;
  const held = await settings.of(uri);
  const { file, reason, names } = await chooser.of(uri, held);
  const vocabulary = names.uri === null ? null : await machines.readVocabulary(names.uri);
  // Only open documents are forgotten when they close.
  if (!documents.get(uri)) {
    chooser.forget(uri);
    settings.forget(uri);
  }
  return {
    uri,
    name: nameOf(uri),
    entry: entry ?? null,
    target: target ?? null,
    machine: file?.machine ? file.text : null,
    reason,
    vocabulary: vocabulary?.text ?? null,
    severities: [...severitiesOf(file?.machine?.rules, held.rules)],
    limits: { ...LIMITS, ...held.packages },
    small: held.largestText,
    docs,
  };
}

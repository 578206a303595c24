import type { CancellationToken, Connection } from 'vscode-languageserver';
import { LIMITS } from '../packages/entry.ts';
import { severitiesOf } from '../service/severity.ts';
import type { Chooser } from './choice.ts';
import type { AskForFile } from './clientInspectedFiles.ts';
import type { Documents } from './documents.ts';
import type { Engine } from './engine.ts';
import {
  type InspectionAnswer,
  type InspectionProgress,
  type InspectParams,
  JOB_FILE,
  JOB_PROGRESS,
} from './inspectionMessages.ts';
import type { MachineStore } from './machines.ts';
import type { InspectionRequest } from './runInspection.ts';
import { machineItem } from './session.ts';
import type { SettingsStore } from './settings.ts';
import { nameOf } from './uri.ts';

/** A check that is on its way. */
export interface RunningInspection {
  /** Never rejects. */
  readonly answer: Promise<InspectionAnswer>;
  cancel(): void;
}

/** What a check says on its way to whoever asked for it. */
export interface InspectionTalk {
  progress(done: number, total: number | null): void;
  /** Asks the client for a file in its hands. */
  readonly ask: AskForFile;
}

/**
 * Starts a check where it keeps nobody waiting: in a thread, or in the session in slices (`inspectHere.ts`). What checks is
 * no part of the session, so that a server with threads need not load it.
 */
export type StartInspection = (request: InspectionRequest, talk: InspectionTalk) => RunningInspection;

export interface Inspections {
  check(params: InspectParams, cancel: CancellationToken): Promise<InspectionAnswer>;
  /** Ends all checks; kept once they have put their files away. */
  end(): Promise<void>;
}

export interface InspectionParts {
  readonly engine: Engine;
  readonly connection: Connection;
  readonly start: StartInspection;
  readonly documents: Documents;
  readonly settings: SettingsStore;
  readonly chooser: Chooser;
  readonly machines: MachineStore;
  readonly docs: string | null;
}

/** "Check this job…": chooses the machine as for any text, and lets the check run where it keeps nobody waiting. */
export function makeInspections(parts: InspectionParts): Inspections {
  const { connection, start, chooser } = parts;
  const running = new Set<RunningInspection>();
  return {
    async check(params, cancel) {
      if (params.machine !== undefined) chooser.pick(params.uri, params.machine);
      else {
        const question = await whichMachine(params.uri, parts);
        if (question) return question;
      }
      const request = await requestOf(params, parts);
      if (cancel.isCancellationRequested) return { kind: 'cancelled' };
      const work = start(request, {
        progress(done, total) {
          const progress: InspectionProgress = { token: params.token, done, total };
          connection.sendNotification(JOB_PROGRESS, progress).catch(() => {
            // The client is gone; it cancels nothing any more, and `end` will.
          });
        },
        ask: (file) => connection.sendRequest(JOB_FILE, file),
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
async function whichMachine(
  uri: string,
  { engine, settings, chooser }: InspectionParts,
): Promise<InspectionAnswer | null> {
  const { file, picked, reason } = await chooser.of(uri, await settings.of(uri));
  if (file?.machine || picked) return null;
  const known = await chooser.known(uri);
  return known.length === 0 ? null : { kind: 'machine', reason, known: known.map((one) => machineItem(engine, one)) };
}

async function requestOf({ uri, entry, target }: InspectParams, parts: InspectionParts): Promise<InspectionRequest> {
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

import {
  type CancellationToken,
  type Connection,
  DiagnosticRefreshRequest,
  FileChangeType,
  LSPErrorCodes,
} from 'vscode-languageserver';
import { isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { type Asked, cancelled, Ended, makeAsking, Urgency } from './asked.ts';
import { decidesOthers, followDocuments } from './documents.ts';
import { engine as bookend, type Engine } from './engine.ts';
import type { Feature } from './feature.ts';
import { FEATURES } from './features.ts';
import { type HandlerGuard, makeGuard } from './guard.ts';
import { CHECK_JOB, type InspectionAnswer, type InspectParams } from './inspectionMessages.ts';
import { describeServer, registerForChanges } from './introduce.ts';
import { withJsonFiles } from './jsonFeatures.ts';
import { type Begun, type Live, makeLive, type Runtime, send } from './live.ts';
import {
  CHANGED,
  CHOOSE_MACHINE,
  CHOOSE_ROLE,
  type ChooseMachineParams,
  type ChooseRoleParams,
  TRUSTED,
} from './messages.ts';
import type { RequestContext } from './requestContext.ts';
import { makeRunner } from './runner.ts';
import { makeSchedule } from './schedule.ts';
import { isRecord } from './settings.ts';
import { makeSparing } from './sparing.ts';
import { canonical, isInside, nameOf, shown } from './uri.ts';

export type { Runtime } from './live.ts';

/** How long edits of a machine file may go on before every text is checked against it again, ms. */
const MACHINE_PAUSE = 60;

/** Serves one client until the connection ends. Nothing is kept outside this call. */
export function startServer(connection: Connection, runtime: Runtime, engine: Engine = bookend): void {
  let served = 0;
  const guard = makeGuard((message) => connection.console.error(message));
  const schedule = makeSchedule(runtime.timers, guard);
  const runner = makeRunner(schedule, () => served);
  const asking = makeAsking();
  let live: Live | null = null;
  let typedIn: string | null = null;

  const documents = followDocuments(connection, {
    opened: guard('didOpen', undefined, (document) => {
      if (decidesOthers(document) || !isWatched(live, document.uri)) lookAgain([]);
      tellStatus({ uri: document.uri });
    }),
    changed: guard('didChange', undefined, (document) => {
      served++;
      spare();
      typedIn = document.uri;
      asking.changed(document.uri);
      live?.publisher.edited(document);
      if (decidesOthers(document)) machinesChanged();
    }),
    saved: guard('didSave', undefined, (document) => {
      if (!isWatched(live, document.uri)) lookAgain([]);
    }),
    closed: guard('didClose', undefined, (document) => {
      served++;
      spare();
      asking.changed(document.uri);
      live?.publisher.closed(document.uri);
      live?.session.forget(document.uri);
      live?.settings.forget(document.uri);
      live?.chooser.forget(document.uri);
      // What is on disk counts again.
      if (decidesOthers(document)) lookAgain([document.uri]);
    }),
  });

  const spare = makeSparing(documents, runtime.spareMemory ?? (() => {}));

  /** Machine files may have come, changed or gone: these, or (none given) any. */
  function lookAgain(uris: readonly string[]): void {
    if (uris.length === 0) live?.machines.forget();
    for (const uri of uris) live?.machines.forget(uri);
    machinesChanged();
  }

  function machinesChanged(): void {
    live?.chooser.changed();
    schedule.soon('machines', MACHINE_PAUSE, recheckAll);
  }

  /** Checks every open document again: asks the client to pull, or publishes what differs. */
  function recheckAll(): void {
    if (!live) return;
    if (live.abilities.refresh) send(connection.sendRequest(DiagnosticRefreshRequest.type));
    for (const document of documents.all()) live.publisher.edited(document);
    tellStatus({});
  }

  function tellStatus(params: { uri?: string }): void {
    if (live?.wantsStatus) send(connection.sendNotification(CHANGED, params));
  }

  /** Findings of the text that is being typed come first, those of other texts when there is time. */
  function begin(urgency: Urgency, uri: string | null): Asked {
    return asking.begin(urgency === Urgency.Typing && uri !== typedIn ? Urgency.Later : urgency, uri);
  }

  const sizeChanged = (uri: string): void => tellStatus({ uri });
  const notFollowedChanged = (uri: string): void => {
    const file = documents.all().find((document) => canonical(document.uri) === uri);
    if (!live || !file) return;
    if (live.abilities.refresh) send(connection.sendRequest(DiagnosticRefreshRequest.type));
    live.publisher.edited(file);
  };
  const told = { sizeChanged, notFollowedChanged };
  const begun: Begun = { connection, runtime, engine, documents, runner, schedule, asking, begin, ...told };

  connection.onInitialize((params) => {
    live = makeLive(params, begun);
    return describeServer(live.abilities);
  });
  const serving = { connection, guard, live: () => live, lookAgain, machinesChanged, recheckAll };
  followChanges(serving);
  takeChoices(serving);
  answerRequests(serving, begun, () => served++);

  connection.onShutdown(async () => {
    schedule.cancelAll();
    await live?.jobs.end();
  });
  connection.listen();
}

/** What the handlers of messages share. */
interface Serving {
  readonly connection: Connection;
  readonly guard: HandlerGuard;
  /** null before `initialize`. */
  live(): Live | null;
  lookAgain(uris: readonly string[]): void;
  machinesChanged(): void;
  recheckAll(): void;
}

/** What the client tells of: folders, settings, trust, files on disk. */
function followChanges({ connection, guard, live, lookAgain, machinesChanged }: Serving): void {
  connection.onInitialized(
    guard('initialized', undefined, async () => {
      const now = live();
      if (!now) return;
      const { abilities, roots } = now;
      if (abilities.folders) {
        connection.workspace.onDidChangeWorkspaceFolders(
          guard('didChangeWorkspaceFolders', undefined, ({ added, removed }) => {
            for (const { uri } of removed) roots.delete(uri);
            for (const { uri } of added) roots.add(uri);
            lookAgain([]);
          }),
        );
      }
      await registerForChanges(connection, abilities);
      connection.console.info(`Ready. Workspace folders: ${[...roots].map(shown).join(', ') || 'none'}.`);
    }),
  );

  connection.onDidChangeConfiguration(
    guard('didChangeConfiguration', undefined, ({ settings }: { settings: unknown }) => {
      live()?.settings.changed(isRecord(settings) ? settings.bookend : undefined);
      machinesChanged();
    }),
  );

  connection.onNotification(
    TRUSTED,
    guard(TRUSTED, undefined, () => {
      live()?.trust.grant();
      lookAgain([]);
    }),
  );

  connection.onDidChangeWatchedFiles(
    guard('didChangeWatchedFiles', undefined, ({ changes }) => {
      const deciding = changes.filter(({ uri }) => isMachineName(nameOf(uri)) || isVocabularyName(nameOf(uri)));
      if (deciding.length > 0) lookAgain(deciding.map(({ uri }) => uri));
      for (const { uri, type } of changes) if (type === FileChangeType.Deleted) live()?.publisher.closed(uri);
    }),
  );
}

/** What a person chooses, and the check of a whole file that one asks for. */
function takeChoices({ connection, guard, live, recheckAll }: Serving): void {
  connection.onRequest(
    CHOOSE_MACHINE,
    guard(CHOOSE_MACHINE, null, ({ uri, machine }: ChooseMachineParams) => {
      live()?.chooser.pick(uri, machine);
      recheckAll();
      return null;
    }),
  );

  connection.onRequest(
    CHOOSE_ROLE,
    guard(CHOOSE_ROLE, null, ({ uri, role }: ChooseRoleParams) => {
      live()?.session.chooseRole(uri, role);
      recheckAll();
      return null;
    }),
  );

  connection.onRequest(CHECK_JOB, async (params: InspectParams, cancel): Promise<InspectionAnswer> => {
    const run = guard<InspectParams, InspectionAnswer | null>(
      CHECK_JOB,
      null,
      (given) => live()?.jobs.check(given, cancel) ?? null,
    );
    return (
      (await run(params)) ?? { kind: 'failed', message: 'The check failed, which it never should: see Bookend’s log.' }
    );
  });
}

/** The table of features. `served`: counts a request that has come. */
function answerRequests({ connection, guard, live }: Serving, begun: Begun, served: () => void): void {
  const { engine, runner, asking, begin } = begun;

  /** One request from its arrival to its answer; it ends as soon as it is cancelled, or its text has changed. */
  async function answered(feature: Feature, params: unknown, cancel: CancellationToken, now: Live): Promise<unknown> {
    const { method, empty, urgency, answer, outdated } = feature;
    const asked = begin(urgency, uriIn(params));
    const listener = cancel.onCancellationRequested(() => asked.over(cancelled()));
    if (cancel.isCancellationRequested) asked.over(cancelled());
    const context: RequestContext = {
      ...now,
      session: {
        engine,
        check: (uri) => now.session.check(uri, asked),
        status: (uri) => now.session.status(uri, asked),
      },
      work: (pieces) => runner.start(pieces).for(asked),
    };
    try {
      return await asked.until(guard(method, empty, () => answer(context, params))(params));
    } catch (error) {
      if (!(error instanceof Ended)) throw error;
      return error.code === LSPErrorCodes.ContentModified && outdated ? outdated() : error.response;
    } finally {
      listener.dispose();
      asking.done(asked);
    }
  }

  for (const feature of FEATURES.map(withJsonFiles)) {
    connection.onRequest(feature.method, async (params: unknown, cancel: CancellationToken) => {
      served();
      const now = live();
      return now ? answered(feature, params, cancel, now) : feature.empty;
    });
  }
}

/** The document that a request is about; null: none, or it takes the text as it is when it comes to it. */
function uriIn(params: unknown): string | null {
  const document = isRecord(params) && isRecord(params.textDocument) ? params.textDocument : {};
  return typeof document.uri === 'string' ? document.uri : null;
}

/** Whether changes on disk around this document are reported. */
function isWatched(live: Live | null, uri: string): boolean {
  if (!live?.abilities.registerFiles) return false;
  return [...live.roots].some((root) => isInside(uri, root));
}

import {
  type CancellationToken,
  type Connection,
  DiagnosticRefreshRequest,
  FileChangeType,
  LSPErrorCodes,
  MessageType,
  ShowMessageNotification,
} from 'vscode-languageserver';
import type { ReadLimits } from '../files/read.ts';
import { isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { readAbilities } from './abilities.ts';
import { type Asked, cancelled, Ended, makeAsking, Urgency } from './asked.ts';
import { type Chooser, makeChooser } from './choice.ts';
import { decidesOthers, followDocuments } from './documents.ts';
import { engine as bookend, type Engine } from './engine.ts';
import { FEATURES, type Feature } from './features.ts';
import { clientFiles, eitherFiles, type Files } from './files.ts';
import { makeGuard } from './guard.ts';
import { readInitOptions } from './initOptions.ts';
import { CHECK_JOB, type InspectionAnswer, type InspectParams } from './inspectionMessages.ts';
import { type Inspections, makeInspections, type StartInspection } from './inspections.ts';
import { describeServer, registerForChanges, rootsOf } from './introduce.ts';
import { makeMachineStore } from './machines.ts';
import {
  CHANGED,
  CHOOSE_MACHINE,
  CHOOSE_ROLE,
  type ChooseMachineParams,
  type ChooseRoleParams,
  TRUSTED,
} from './messages.ts';
import { makePublisher, NO_PUBLISHER, type Publisher } from './publish.ts';
import type { RequestContext } from './requestContext.ts';
import { makeRunner } from './runner.ts';
import { makeSchedule, type Timers } from './schedule.ts';
import { makeSession, type Session } from './session.ts';
import { isRecord, makeSettings, RAISE_LARGEST_MACHINE_FILE, type SettingsStore } from './settings.ts';
import { makeSparing } from './sparing.ts';
import { makeTrust, type Trust } from './trust.ts';
import { folderOf, isInside, nameOf, shown } from './uri.ts';
import { makeWholeFixes } from './wholeFixes.ts';
import { makeWorkspace } from './workspace.ts';

/** Everything that the session takes from the world. */
export interface Runtime {
  readonly timers: Timers;
  /** Files by file: URI; null where there is no disk (in a browser). */
  readonly disk: Files | null;
  /** Checks of whole files. */
  readonly startInspection: StartInspection;
  /** Be sparing with memory from now on, or (off) no longer; absent where the host cannot. */
  readonly spareMemory?: (on: boolean) => void;
}

/** What exists from `initialize` on. */
interface Live extends Omit<RequestContext, 'session' | 'work'> {
  readonly session: Session;
  readonly publisher: Publisher;
  readonly chooser: Chooser;
  readonly settings: SettingsStore;
  readonly trust: Trust;
  readonly jobs: Inspections;
  /** URIs of the workspace folders; kept up to date in place. */
  readonly roots: Set<string>;
  readonly wantsStatus: boolean;
}

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

  connection.onInitialize((params) => {
    const abilities = readAbilities(params);
    const options = readInitOptions(params.initializationOptions);
    const roots = new Set(rootsOf(params));
    const request = (method: string, where: object) => connection.sendRequest(method, where);
    const files = eitherFiles(runtime.disk, options.files ? clientFiles(request, runtime.timers) : null);
    const ask = (scopeUri: string) => connection.workspace.getConfiguration({ scopeUri, section: 'bookend' });
    const settings = makeSettings(abilities.configuration ? ask : null, options.bookend);
    const trust = makeTrust(roots, options.trusted);
    const limits = async (uri: string, from: string | null): Promise<ReadLimits> => {
      // One question for all files of a folder.
      const largest = (await settings.of(folderOf(uri) ?? uri)).largestMachineFile;
      return { largest, raise: RAISE_LARGEST_MACHINE_FILE, within: trust.within(from) };
    };
    const machines = makeMachineStore({ files, engine, openText: documents.text, limits });
    const chooser = makeChooser(machines, documents, roots, options.picks, trust);
    const session = makeSession({
      ...{ engine, runner, documents, settings, chooser, roles: options.roles },
      sizeChanged: (uri) => tellStatus({ uri }),
    });
    const publisher = abilities.pull
      ? NO_PUBLISHER
      : makePublisher({ connection, session, schedule, begin, asking, docs: options.docs });
    const workspace = makeWorkspace({ documents, files, chooser, settings, trust, roots });
    const jobs = makeInspections({
      connection,
      start: runtime.startInspection,
      engine,
      ...{ documents, settings, chooser, machines, docs: options.docs },
    });
    live = {
      jobs,
      ...{ abilities, session, publisher, machines, chooser, settings, trust, roots, workspace },
      ...{ wantsStatus: options.status, showsFilledIn: options.showsFilledIn, setsSeverity: options.setsSeverity },
      draftsPlaceholders: options.draftsPlaceholders,
      docs: options.docs,
      fixes: makeWholeFixes(engine, abilities),
      tell: (message) =>
        send(connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Info, message })),
    };
    return describeServer(abilities);
  });

  connection.onInitialized(
    guard('initialized', undefined, async () => {
      if (!live) return;
      const { abilities, roots } = live;
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
      live?.settings.changed(isRecord(settings) ? settings.bookend : undefined);
      machinesChanged();
    }),
  );

  connection.onNotification(
    TRUSTED,
    guard(TRUSTED, undefined, () => {
      live?.trust.grant();
      lookAgain([]);
    }),
  );

  connection.onDidChangeWatchedFiles(
    guard('didChangeWatchedFiles', undefined, ({ changes }) => {
      const deciding = changes.filter(({ uri }) => isMachineName(nameOf(uri)) || isVocabularyName(nameOf(uri)));
      if (deciding.length > 0) lookAgain(deciding.map(({ uri }) => uri));
      for (const { uri, type } of changes) if (type === FileChangeType.Deleted) live?.publisher.closed(uri);
    }),
  );

  connection.onRequest(
    CHOOSE_MACHINE,
    guard(CHOOSE_MACHINE, null, ({ uri, machine }: ChooseMachineParams) => {
      live?.chooser.pick(uri, machine);
      recheckAll();
      return null;
    }),
  );

  connection.onRequest(
    CHOOSE_ROLE,
    guard(CHOOSE_ROLE, null, ({ uri, role }: ChooseRoleParams) => {
      live?.session.chooseRole(uri, role);
      recheckAll();
      return null;
    }),
  );

  connection.onRequest(CHECK_JOB, async (params: InspectParams, cancel): Promise<InspectionAnswer> => {
    const run = guard<InspectParams, InspectionAnswer | null>(
      CHECK_JOB,
      null,
      (given) => live?.jobs.check(given, cancel) ?? null,
    );
    return (
      (await run(params)) ?? { kind: 'failed', message: 'The check failed, which it never should: see Bookend’s log.' }
    );
  });

  /** Findings of the text that is being typed come first, those of other texts when there is time. */
  function begin(urgency: Urgency, uri: string | null): Asked {
    return asking.begin(urgency === Urgency.Typing && uri !== typedIn ? Urgency.Later : urgency, uri);
  }

  for (const feature of FEATURES) {
    connection.onRequest(feature.method, async (params: unknown, cancel: CancellationToken) => {
      served++;
      return live ? answered(feature, params, cancel, live) : feature.empty;
    });
  }

  /** One request from its arrival to its answer; it ends as soon as it is cancelled, or its text has changed. */
  async function answered(feature: Feature, params: unknown, cancel: CancellationToken, live: Live): Promise<unknown> {
    const { method, empty, urgency, answer, outdated } = feature;
    const asked = begin(urgency, uriIn(params));
    const listener = cancel.onCancellationRequested(() => asked.over(cancelled()));
    if (cancel.isCancellationRequested) asked.over(cancelled());
    const context: RequestContext = {
      ...live,
      session: {
        engine,
        check: (uri) => live.session.check(uri, asked),
        status: (uri) => live.session.status(uri, asked),
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

  connection.onShutdown(async () => {
    schedule.cancelAll();
    await live?.jobs.end();
  });
  connection.listen();
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

/** Lets a message go. It fails only where the client is gone or knows no such request, and then nobody misses it. */
function send(sent: Promise<unknown>): void {
  sent.catch(() => {});
}

import { type Connection, type InitializeParams, MessageType, ShowMessageNotification } from 'vscode-languageserver';
import type { ReadLimits } from '../files/read.ts';
import { readAbilities } from './abilities.ts';
import type { Asked, Asking, Urgency } from './asked.ts';
import { type Chooser, makeChooser } from './choice.ts';
import type { Documents } from './documents.ts';
import type { Engine } from './engine.ts';
import { clientFiles, eitherFiles, type Files } from './files.ts';
import { readInitOptions } from './initOptions.ts';
import { type Inspections, makeInspections, type StartInspection } from './inspections.ts';
import { rootsOf } from './introduce.ts';
import { type LoadJson, makeJsonAccess } from './jsonAccess.ts';
import { makeMachineStore } from './machines.ts';
import { makePublisher, NO_PUBLISHER, type Publisher } from './publish.ts';
import type { RequestContext } from './requestContext.ts';
import type { Runner } from './runner.ts';
import type { Schedule, Timers } from './schedule.ts';
import { makeSession, type Session } from './session.ts';
import { makeSettings, RAISE_LARGEST_MACHINE_FILE, type SettingsStore } from './settings.ts';
import { makeTrust, type Trust } from './trust.ts';
import { folderOf } from './uri.ts';
import { makeWholeFixes } from './wholeFixes.ts';
import { makeWorkspace } from './workspace.ts';

/** Everything that the session takes from the world. */
export interface Runtime {
  readonly timers: Timers;
  /** Files by file: URI; null where there is no disk (in a browser). */
  readonly disk: Files | null;
  /** Checks of whole files. */
  readonly startInspection: StartInspection;
  /** The part that knows JSON, which is needed only where somebody works on a machine or vocabulary file. */
  readonly loadJson: LoadJson;
  /** Be sparing with memory from now on, or (off) no longer; absent where the host cannot. */
  readonly spareMemory?: (on: boolean) => void;
}

/** What exists from `initialize` on. */
export interface Live extends Omit<RequestContext, 'session' | 'work'> {
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

/** What is there before the client has said who it is. */
export interface Begun {
  readonly connection: Connection;
  readonly runtime: Runtime;
  readonly engine: Engine;
  readonly documents: Documents;
  readonly runner: Runner;
  readonly schedule: Schedule;
  readonly asking: Asking;
  begin(urgency: Urgency, uri: string | null): Asked;
  /** A text has grown past the size limit, or is below it again. */
  sizeChanged(uri: string): void;
  /** What sequences tell a vocabulary file is something else now. */
  notFollowedChanged(uri: string): void;
}

/** Makes all that a session is, as the client's abilities and options want it. */
export function makeLive(params: InitializeParams, begun: Begun): Live {
  const { connection, runtime, engine, documents, runner, schedule, asking, begin, sizeChanged, notFollowedChanged } =
    begun;
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
    ...{ sizeChanged, notFollowedChanged },
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
  return {
    jobs,
    ...{ abilities, session, publisher, machines, chooser, settings, trust, roots, workspace },
    ...{ wantsStatus: options.status, showsFilledIn: options.showsFilledIn, setsSeverity: options.setsSeverity },
    draftsPlaceholders: options.draftsPlaceholders,
    docs: options.docs,
    fixes: makeWholeFixes(engine, abilities),
    json: makeJsonAccess(runtime.loadJson, documents, settings),
    tell: (message) =>
      send(connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Info, message })),
  };
}

/** Lets a message go. It fails only where the client is gone or knows no such request, and then nobody misses it. */
export function send(sent: Promise<unknown>): void {
  sent.catch(() => {});
}

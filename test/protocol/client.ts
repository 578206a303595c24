// A language client in memory, over real streams and the real framing, for one server of its own.

import { PassThrough } from 'node:stream';
import {
  type ClientCapabilities,
  createConnection,
  createProtocolConnection,
  type Diagnostic,
  type DocumentDiagnosticReport,
  type InitializeResult,
  ProposedFeatures,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  type Range,
  StreamMessageReader,
  StreamMessageWriter,
  type WorkspaceFolder,
} from 'vscode-languageserver/node';
import { engine as bookend, type Engine } from '../../server/src/lsp/engine.ts';
import type { Files } from '../../server/src/lsp/files.ts';
import { makeGate } from '../../server/src/lsp/gate.ts';
import { type InspectionWorkshop, inspectHere } from '../../server/src/lsp/inspectHere.ts';
import { CHANGED, type InitOptions, LIST_FOLDER, READ_FILE } from '../../server/src/lsp/messages.ts';
import type { Timers } from '../../server/src/lsp/schedule.ts';
import { startServer } from '../../server/src/lsp/server.ts';
import { nodeTimers } from '../../server/src/nodeTransport.ts';

/** Text by URI: the disk of a test. Change it as a person would, then tell the server with `watched`. */
export type Disk = Map<string, string>;

export interface Options {
  /** Asks for diagnostics itself. Default: findings are pushed. */
  readonly pull?: boolean;
  readonly disk?: Disk;
  /** Another disk than one of a test: a real one. */
  readonly files?: Files;
  /** Files answered by the client instead of the disk. */
  readonly virtual?: Disk;
  readonly folders?: readonly string[];
  readonly options?: InitOptions;
  /** Answers workspace/configuration, by scope URI. Absent: the client cannot. */
  readonly settings?: (uri: string) => unknown;
  readonly capabilities?: ClientCapabilities;
  readonly engine?: Engine;
  readonly timers?: Timers;
  /** How whole files are checked. Default: in the session, with no disk and nothing that unpacks. */
  readonly jobs?: Partial<InspectionWorkshop>;
  /** What the host is told about memory. */
  readonly spareMemory?: (on: boolean) => void;
}

export interface Client {
  readonly connection: ProtocolConnection;
  readonly initialized: InitializeResult;
  /** Every publication, in order. */
  readonly published: PublishDiagnosticsParams[];
  /** Log lines of the server. */
  readonly log: string[];
  /** How often the server asked to pull again, and how often it said that the status may have changed. */
  readonly counts: { refreshed: number; changed: number };
  /** Watch patterns and settings that the server registered for. */
  readonly registered: string[];
  open(uri: string, text: string, languageId?: string): void;
  edit(uri: string, version: number, range: Range | null, text: string): void;
  close(uri: string): void;
  watched(uri: string, type: 1 | 2 | 3): void;
  pull(uri: string): Promise<Diagnostic[]>;
  /** Waits until the server's last publication for this document holds what `test` asks. */
  until(uri: string, test: (latest: PublishDiagnosticsParams) => boolean): Promise<PublishDiagnosticsParams>;
  /** Waits until `test` holds; it is tried again after each message of the server. */
  untilTrue(test: () => boolean): Promise<void>;
  end(): Promise<void>;
}

export async function startClient(given: Options = {}): Promise<Client> {
  const toServer = new PassThrough();
  const toClient = new PassThrough();
  const gate = makeGate(new StreamMessageReader(toServer), new StreamMessageWriter(toClient));
  const serverEnd = createConnection(ProposedFeatures.all, gate.reader, gate.writer);
  const disk = given.files ?? (given.disk ? filesOf(given.disk) : null);
  const timers = given.timers ?? nodeTimers;
  const startInspection = inspectHere({ ...inSession, ...given.jobs });
  const { spareMemory } = given;
  startServer(
    serverEnd,
    { disk, timers, startInspection, ...(spareMemory && { spareMemory }) },
    given.engine ?? bookend,
  );
  const connection = createProtocolConnection(new StreamMessageReader(toClient), new StreamMessageWriter(toServer));

  const published: PublishDiagnosticsParams[] = [];
  const log: string[] = [];
  const registered: string[] = [];
  const counts = { refreshed: 0, changed: 0 };
  let waiting: (() => void)[] = [];
  const wake = () => {
    for (const again of waiting.splice(0)) again();
  };
  connection.onNotification('textDocument/publishDiagnostics', (params: PublishDiagnosticsParams) => {
    published.push(params);
    wake();
  });
  connection.onNotification('window/logMessage', ({ message }: { message: string }) => {
    log.push(message);
    wake();
  });
  connection.onRequest('workspace/diagnostic/refresh', () => {
    counts.refreshed++;
    wake();
    return null;
  });
  connection.onNotification(CHANGED, () => {
    counts.changed++;
    wake();
  });
  connection.onRequest('workspace/configuration', ({ items }: { items: { scopeUri: string; section: string }[] }) =>
    items.map(({ scopeUri, section }) => (section === 'bookend' ? (given.settings?.(scopeUri) ?? null) : null)),
  );
  connection.onRequest('client/registerCapability', ({ registrations }) => {
    for (const { method, registerOptions } of registrations)
      registered.push(`${method} ${JSON.stringify(registerOptions)}`);
    wake();
    return null;
  });
  const virtual = filesOf(given.virtual ?? new Map());
  connection.onRequest(READ_FILE, ({ uri, largest }: { uri: string; largest: number }) =>
    virtual.read(uri, { largest, raise: null, within: null }),
  );
  connection.onRequest(LIST_FOLDER, ({ uri }: { uri: string }) => virtual.list(uri));
  connection.listen();

  const folders: WorkspaceFolder[] = (given.folders ?? []).map((uri) => ({ uri, name: uri }));
  const initialized = await connection.sendRequest<InitializeResult>('initialize', {
    processId: null,
    rootUri: folders[0]?.uri ?? null,
    workspaceFolders: folders,
    capabilities: given.capabilities ?? capabilities(given),
    initializationOptions: given.options,
  });
  await connection.sendNotification('initialized', {});

  const client: Client = {
    connection,
    initialized,
    published,
    log,
    counts,
    registered,
    open: (uri, text, languageId = 'bookend') =>
      void connection.sendNotification('textDocument/didOpen', { textDocument: { uri, languageId, version: 1, text } }),
    edit: (uri, version, range, text) =>
      void connection.sendNotification('textDocument/didChange', {
        textDocument: { uri, version },
        contentChanges: [range ? { range, text } : { text }],
      }),
    close: (uri) => void connection.sendNotification('textDocument/didClose', { textDocument: { uri } }),
    watched: (uri, type) =>
      void connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri, type }] }),
    async pull(uri) {
      const report = await connection.sendRequest<DocumentDiagnosticReport>('textDocument/diagnostic', {
        textDocument: { uri },
      });
      return report.kind === 'full' ? report.items : [];
    },
    async until(uri, test) {
      const latest = () => published.filter((one) => one.uri === uri).at(-1);
      await client.untilTrue(() => {
        const now = latest();
        return now !== undefined && test(now);
      });
      return latest() as PublishDiagnosticsParams;
    },
    async untilTrue(test) {
      while (!test()) await new Promise<void>((resolve) => waiting.push(resolve));
    },
    async end() {
      waiting = [];
      // A test may have asked for it itself, and there is only one.
      await connection.sendRequest('shutdown').catch(() => {});
      // Only this end: the server may still be answering what was asked before.
      connection.dispose();
    },
  };
  return client;
}

function capabilities({ pull = false, settings }: Options): ClientCapabilities {
  return {
    workspace: {
      configuration: settings !== undefined,
      workspaceFolders: true,
      didChangeConfiguration: { dynamicRegistration: true },
      didChangeWatchedFiles: { dynamicRegistration: true },
      ...(pull ? { diagnostics: { refreshSupport: true } } : {}),
    },
    textDocument: {
      ...(pull ? { diagnostic: {} } : {}),
      publishDiagnostics: { versionSupport: true },
      documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    },
  };
}

const inSession: InspectionWorkshop = {
  inflate: () => {
    throw new Error('nothing unpacks here');
  },
  hasher: null,
  files: null,
  now: () => performance.now(),
  rest: () => new Promise((resolve) => setImmediate(resolve)),
};

function filesOf(disk: Disk): Files {
  return {
    async read(uri) {
      const text = disk.get(uri);
      return text === undefined ? { reason: 'there is no such file' } : { text };
    },
    async list(folder) {
      const prefix = `${folder.replace(/\/$/, '')}/`;
      const inside = [...disk.keys()].filter((uri) => uri.startsWith(prefix)).map((uri) => uri.slice(prefix.length));
      const names = new Map(inside.map((path) => [path.split('/')[0] ?? '', path.includes('/')]));
      return [...names].map(([name, isFolder]) => ({ name, folder: isFolder }));
    },
  };
}

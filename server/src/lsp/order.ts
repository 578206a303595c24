import { ErrorCodes } from 'vscode-languageserver';
import { NOTIFICATIONS } from './shapes.ts';

/** What is wrong with a message: a code of JSON-RPC or of the protocol, and a sentence. */
export interface MessageFault {
  readonly code: number;
  readonly message: string;
}

/** Follows which messages have come, so far as that decides which may come next. */
export interface Order {
  /** What is wrong with a message of this method at this time. */
  untimely(method: string, isRequest: boolean): MessageFault | null;
  /** What is wrong with what it says of a document; the form of `params` is right. */
  outOfStep(method: string, params: unknown): MessageFault | null;
  /** The message goes on to its handler. */
  passed(method: string, params: unknown): void;
  /** It does not; `params` may be of any form. */
  refused(method: string, params: unknown): void;
  /** `initialize` was answered with an error. */
  notBegun(): void;
  isShutDown(): boolean;
}

/** The parts of params that are read here. */
interface Params {
  readonly textDocument: { readonly uri: string; readonly version: number };
  readonly contentChanges: readonly { readonly range?: unknown }[];
}

const OPEN = 'textDocument/didOpen';
const CHANGE = 'textDocument/didChange';
const CLOSE = 'textDocument/didClose';
const ABOUT_OPEN: ReadonlySet<string> = new Set([CHANGE, CLOSE, 'textDocument/didSave']);

const REOPEN = 'It was ignored; the text is followed again once it is sent whole or opened again.';

const invalid = (message: string): MessageFault => ({ code: ErrorCodes.InvalidRequest, message });

/** The order that the protocol prescribes (LSP 3.17, "Lifecycle Messages" and "Text Document Synchronization"). */
export function makeOrder(): Order {
  let stage: 'new' | 'begun' | 'shut down' = 'new';
  /** `lost`: a change was refused, so that the client has another text by now. */
  const open = new Map<string, { readonly version: number; readonly lost: boolean }>();

  return {
    untimely(method, isRequest) {
      if (method === 'exit') return null;
      if (stage === 'shut down') return invalid(`${method} came after shutdown; only exit may follow.`);
      if (isRequest && NOTIFICATIONS.has(method)) return invalid(`${method} is a notification, which has no id.`);
      if (method === 'initialize' && stage === 'begun') return invalid('initialize came twice; a session has one.');
      if (method !== 'initialize' && stage === 'new')
        return {
          code: ErrorCodes.ServerNotInitialized,
          message: `${method} came before initialize, which comes first.`,
        };
      return null;
    },
    outOfStep(method, params) {
      if (!ABOUT_OPEN.has(method)) return null;
      const { textDocument, contentChanges } = params as Params;
      const { uri, version } = textDocument;
      const held = open.get(uri);
      if (!held) return invalid(`${method} is about ${uri}, which is not open. It was ignored.`);
      if (method !== CHANGE) return null;
      if (version <= held.version)
        return invalid(`${method} of ${uri} has version ${version}, and the text is at ${held.version}. ${REOPEN}`);
      if (held.lost && contentChanges.every(({ range }) => range !== undefined))
        return invalid(`${method} of ${uri} comes after one that was refused. ${REOPEN}`);
      return null;
    },
    passed(method, params) {
      if (method === 'initialize') stage = 'begun';
      if (method === 'shutdown') stage = 'shut down';
      if (method !== OPEN && method !== CHANGE && method !== CLOSE) return;
      const { uri, version } = (params as Params).textDocument;
      if (method === CLOSE) open.delete(uri);
      else open.set(uri, { version, lost: false });
    },
    refused(method, params) {
      if (method !== CHANGE) return;
      const uri = (params as Partial<Params> | null | undefined)?.textDocument?.uri;
      const held = typeof uri === 'string' ? open.get(uri) : undefined;
      if (held) open.set(uri as string, { ...held, lost: true });
    },
    notBegun() {
      stage = 'new';
    },
    isShutDown: () => stage === 'shut down',
  };
}

import { FEATURES } from './features.ts';
import { CHECK_JOB } from './inspectionMessages.ts';
import { CHOOSE_MACHINE, CHOOSE_ROLE, TRUSTED } from './messages.ts';
import {
  anything,
  count,
  list,
  type MessageShape,
  nullable,
  number,
  object,
  optional,
  record,
  text,
  uri,
  whole,
} from './shape.ts';
import { inDocument, range } from './shapeParts.ts';

// What every message that a client may send looks like, as far as anything of it is read. A request of another form
// is answered with an error, a notification of another form is logged; neither reaches a handler.

const folder = record({ uri });

/** Only what the server reads of it: everything else may be of any form. */
const capabilities = record({
  workspace: nullable(object),
  textDocument: nullable(
    record({
      completion: nullable(
        record({
          completionItem: nullable(record({ resolveSupport: nullable(record({ properties: list(text) })) })),
        }),
      ),
      codeAction: nullable(record({ resolveSupport: nullable(record({ properties: list(text) })) })),
    }),
  ),
});

/** By method; one that is absent here is not known to the server. Those of requests stand in the table of features. */
export const SHAPES: ReadonlyMap<string, MessageShape> = new Map<string, MessageShape>([
  [
    'initialize',
    record({
      capabilities,
      processId: nullable(number),
      rootUri: nullable(uri),
      workspaceFolders: nullable(list(folder)),
    }),
  ],
  ['initialized', optional(object)],
  ['shutdown', anything],
  ['exit', anything],

  ['textDocument/didOpen', record({ textDocument: record({ uri, languageId: text, version: whole, text }) })],
  [
    'textDocument/didChange',
    record({
      textDocument: record({ uri, version: whole }),
      contentChanges: list(record({ range: optional(range), text })),
    }),
  ],
  ['textDocument/didSave', inDocument],
  ['textDocument/didClose', inDocument],
  ['workspace/didChangeConfiguration', optional(object)],
  ['workspace/didChangeWatchedFiles', record({ changes: list(record({ uri, type: whole })) })],
  ['workspace/didChangeWorkspaceFolders', record({ event: record({ added: list(folder), removed: list(folder) }) })],

  ...FEATURES.map(({ method, shape }) => [method, shape] as const),

  [TRUSTED, anything],
  [CHOOSE_MACHINE, record({ uri, machine: nullable(text) })],
  [CHOOSE_ROLE, record({ uri, role: nullable(text) })],
  [
    CHECK_JOB,
    record({
      uri,
      token: number,
      entry: nullable(record({ index: count, name: text })),
      target: nullable(uri),
      machine: nullable(text),
    }),
  ],

  ['$/cancelRequest', record({ id: anything })],
  ['$/setTrace', record({ value: text })],
  ['$/progress', record({ token: anything })],
  ['window/workDoneProgress/cancel', record({ token: anything })],
]);

/** Methods that are notifications; all others ask for an answer. */
export const NOTIFICATIONS: ReadonlySet<string> = new Set(
  [...SHAPES.keys()].filter(
    (method) =>
      /^textDocument\/did|^workspace\/did|^\$\/|^window\//.test(method) ||
      method === 'initialized' ||
      method === TRUSTED ||
      method === 'exit',
  ),
);

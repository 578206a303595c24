import { CHECK_JOB } from './inspectionMessages.ts';
import { CHOOSE_MACHINE, CHOOSE_ROLE, DRAFT_PLACEHOLDERS, FILL, MACHINES, TRUSTED } from './messages.ts';
import {
  also,
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

// What every message that a client may send looks like, as far as anything of it is read. A request of another form
// is answered with an error, a notification of another form is logged; neither reaches a handler.

const position = record({ line: count, character: count });

interface Range {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

const range = also<Range>(record({ start: position, end: position }), ({ start, end }) =>
  end.line < start.line || (end.line === start.line && end.character < start.character)
    ? 'a range ends before it begins'
    : null,
);

const document = record({ uri });
const inDocument = record({ textDocument: document });
const at = record({ textDocument: document, position });
const inRange = record({ textDocument: document, range });
const ofUri = record({ uri });
const folder = record({ uri });
const diagnostic = record({ range, message: text });

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

/** By method; one that is absent here is not known to the server. */
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

  ['textDocument/diagnostic', inDocument],
  ['textDocument/hover', at],
  ['textDocument/completion', at],
  ['completionItem/resolve', record({ label: text, data: nullable(record({ uri, position })) })],
  ['textDocument/documentSymbol', inDocument],
  [
    'textDocument/codeAction',
    record({
      textDocument: document,
      range,
      context: record({ diagnostics: list(diagnostic), only: nullable(list(text)) }),
    }),
  ],
  ['codeAction/resolve', record({ title: text })],
  ['textDocument/definition', at],
  ['textDocument/documentHighlight', at],
  ['textDocument/references', record({ textDocument: document, position, context: nullable(object) })],
  ['textDocument/prepareRename', at],
  ['textDocument/rename', record({ textDocument: document, position, newName: text })],
  ['textDocument/signatureHelp', at],
  ['textDocument/semanticTokens/full', inDocument],
  ['textDocument/semanticTokens/range', inRange],
  ['textDocument/foldingRange', inDocument],
  ['textDocument/selectionRange', record({ textDocument: document, positions: list(position) })],
  ['textDocument/formatting', record({ textDocument: document })],
  ['textDocument/rangeFormatting', inRange],

  [TRUSTED, anything],
  [MACHINES, ofUri],
  [CHOOSE_MACHINE, record({ uri, machine: nullable(text) })],
  [CHOOSE_ROLE, record({ uri, role: nullable(text) })],
  // Of a job, what makes no sense counts as not given.
  [FILL, record({ uri, job: anything })],
  [DRAFT_PLACEHOLDERS, ofUri],
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

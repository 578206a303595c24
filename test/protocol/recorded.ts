// One session of a client as plain messages, with everything in it that a client of Bookend sends.

export interface Sent {
  readonly jsonrpc: '2.0';
  readonly id?: number | string;
  readonly method: string;
  readonly params?: unknown;
}

const HOME = 'file:///yard';
export const START = `${HOME}/warm.start.gcode`;
const MACHINE = `${HOME}/plover.machine.json`;
const NAMES = `${HOME}/yard.placeholders.json`;

/** A machine of this test's own. */
export const PLOVER = JSON.stringify({
  name: 'Plover 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  reach: { shape: 'rectangle', left: 0, right: 208, front: 0, back: 192, bottom: 0, top: 226 },
  heat: { nozzle: { max: 271, minExtrude: 168 }, bed: { max: 93 } },
});

const TEXT = `G21
G90
M104 S{{ heat.nozzle.first }}
{{# tool.number == 0 }}
M190 S{{ heat.bed.first }}
{{/}}
G28
G1 X{{ bed.left + 5 }} Y7 Z0.3 F6000 ; the corner
M221 S80
M106 S{{ round(128) }}
`;

const position = (line: number, character: number) => ({ line, character });
const range = (line: number, from: number, to: number) => ({ start: position(line, from), end: position(line, to) });
const textDocument = { uri: START };

const requests: readonly (readonly [method: string, params: unknown])[] = [
  ['textDocument/diagnostic', { textDocument }],
  ['textDocument/hover', { textDocument, position: position(2, 1) }],
  ['textDocument/completion', { textDocument, position: position(7, 10), context: { triggerKind: 1 } }],
  ['completionItem/resolve', { label: 'G28', data: { uri: START, position: position(6, 1) } }],
  ['textDocument/documentSymbol', { textDocument }],
  ['textDocument/codeAction', { textDocument, range: range(8, 0, 4), context: { diagnostics: [] } }],
  ['codeAction/resolve', { title: 'Fix all of factors-left', data: { uri: START, rule: 'factors-left' } }],
  ['textDocument/definition', { textDocument, position: position(7, 9) }],
  ['textDocument/documentHighlight', { textDocument, position: position(7, 9) }],
  ['textDocument/references', { textDocument, position: position(4, 12), context: { includeDeclaration: true } }],
  ['textDocument/prepareRename', { textDocument, position: position(4, 12) }],
  ['textDocument/rename', { textDocument, position: position(4, 12), newName: 'plate' }],
  ['textDocument/signatureHelp', { textDocument, position: position(9, 17) }],
  ['textDocument/semanticTokens/full', { textDocument }],
  ['textDocument/semanticTokens/range', { textDocument, range: { start: position(1, 0), end: position(5, 2) } }],
  ['textDocument/foldingRange', { textDocument }],
  ['textDocument/selectionRange', { textDocument, positions: [position(7, 9), position(0, 0)] }],
  ['textDocument/formatting', { textDocument, options: { tabSize: 2, insertSpaces: true } }],
  [
    'textDocument/rangeFormatting',
    { textDocument, range: range(7, 0, 3), options: { tabSize: 2, insertSpaces: true } },
  ],
  ['bookend/machines', { uri: START }],
  ['bookend/chooseRole', { uri: START, role: 'start' }],
  ['bookend/chooseMachine', { uri: START, machine: MACHINE }],
  ['bookend/chooseMachine', { uri: START }],
  ['bookend/fill', { uri: START, job: { 'tool.number': 0 } }],
  ['bookend/draftPlaceholders', { uri: START }],
  ['bookend/checkJob', { uri: START, token: 3, machine: null }],
];

export const INITIALIZE: Sent = {
  jsonrpc: '2.0',
  id: 0,
  method: 'initialize',
  params: {
    processId: null,
    rootUri: HOME,
    workspaceFolders: [{ uri: HOME, name: 'yard' }],
    capabilities: {
      workspace: { configuration: true, workspaceFolders: true, didChangeConfiguration: { dynamicRegistration: true } },
      textDocument: {
        diagnostic: {},
        completion: { completionItem: { resolveSupport: { properties: ['documentation'] } } },
        codeAction: {
          codeActionLiteralSupport: { codeActionKind: { valueSet: ['quickfix', 'source.fixAll'] } },
          dataSupport: true,
          resolveSupport: { properties: ['edit'] },
        },
      },
    },
    initializationOptions: { files: true, status: true, picks: { [START]: null }, roles: { [START]: 'start' } },
  },
};

const opened = (uri: string, languageId: string, text: string) => ({
  textDocument: { uri, languageId, version: 1, text },
});

/** In the order of sending; the requests have ids from 1 on. */
export function recorded(): Sent[] {
  let version = 1;
  let id = 1;
  const sent: Sent[] = [INITIALIZE];
  const tell = (method: string, params?: unknown): void => void sent.push({ jsonrpc: '2.0', method, params });
  tell('initialized', {});
  tell('textDocument/didOpen', opened(MACHINE, 'bookend-machine', PLOVER));
  tell('textDocument/didOpen', opened(START, 'bookend', TEXT));
  const names = JSON.stringify({ placeholders: { plate: { kind: 'number', unit: 'degrees C', range: [20, 90] } } });
  tell('textDocument/didOpen', opened(NAMES, 'bookend-placeholders', names));
  for (const [i, [method, params]] of requests.entries()) {
    sent.push({ jsonrpc: '2.0', id: id++, method, params });
    if (i % 3 > 0) continue;
    const contentChanges = [
      { range: range(i % 9, 0, 1), text: 'M' },
      { range: range(1, 3, 3), text: ' ; x' },
    ];
    tell('textDocument/didChange', { textDocument: { uri: START, version: ++version }, contentChanges });
  }
  tell('$/cancelRequest', { id: 7 });
  tell('textDocument/didSave', { textDocument: { uri: START } });
  tell('workspace/didChangeConfiguration', { settings: { bookend: { rules: { 'factors-left': 'error' } } } });
  tell('workspace/didChangeWatchedFiles', {
    changes: [
      { uri: MACHINE, type: 2 },
      { uri: START, type: 3 },
    ],
  });
  const event = { added: [{ uri: 'file:///shed', name: 'shed' }], removed: [] };
  tell('workspace/didChangeWorkspaceFolders', { event });
  tell('textDocument/didClose', { textDocument: { uri: NAMES } });
  tell('textDocument/didClose', { textDocument: { uri: MACHINE } });
  return sent;
}

import { expect, test } from 'vitest';
import type { Disposable, Message, MessageReader, MessageWriter } from 'vscode-languageserver/node';
import { makeGate } from '../../server/src/lsp/gate.ts';
import { INITIALIZE, recorded, START } from './recorded.ts';

// What passes the gate, and what is said about the rest. Codes: JSON-RPC 2.0 section 5.1; LSP 3.17 "Base Protocol".

const INVALID_REQUEST = -32600;
const METHOD_NOT_FOUND = -32601;
const INVALID_PARAMS = -32602;
const NOT_INITIALIZED = -32002;

interface Reply {
  readonly id?: unknown;
  readonly error?: { readonly code: number; readonly message: string };
  readonly params?: { readonly message: string };
}

/** A gate with a client at one end; what passed is listed, and so is what the gate said itself. */
function stand(begun = true) {
  const passed: Message[] = [];
  const said: Reply[] = [];
  let send: (message: unknown) => void = () => {};
  const nothing = (): Disposable => ({ dispose: () => {} });
  const reader: MessageReader = {
    onError: nothing,
    onClose: nothing,
    onPartialMessage: nothing,
    dispose: () => {},
    listen(callback) {
      send = callback as (message: unknown) => void;
      return nothing();
    },
  };
  const writer: MessageWriter = {
    onError: nothing,
    onClose: nothing,
    write: async (message) => void said.push(message as Reply),
    end: () => {},
    dispose: () => {},
  };
  const gate = makeGate(reader, writer);
  gate.reader.listen((message) => passed.push(message));
  if (begun) send(INITIALIZE);
  passed.length = 0;
  return {
    gate,
    passed,
    said,
    send,
    /** The code that a request is refused with; null: it passed. */
    ask(method: string, params: unknown = {}): number | null {
      const before = passed.length;
      send({ jsonrpc: '2.0', id: 1, method, params });
      return passed.length > before ? null : (said.at(-1)?.error?.code ?? null);
    },
    /** What is logged about a notification; null: it passed. */
    tell(method: string, params: unknown): string | null {
      const before = passed.length;
      send({ jsonrpc: '2.0', method, params });
      return passed.length > before ? null : (said.at(-1)?.params?.message ?? '');
    },
  };
}

const opened = (version: unknown = 1, text: unknown = 'G28\n', uri: unknown = START) => ({
  textDocument: { uri, languageId: 'bookend', version, text },
});
const changed = (version: unknown, contentChanges: unknown, uri = START) => ({
  textDocument: { uri, version },
  contentChanges,
});
const span = (a: number, b: number, c: number, d: number) => ({
  start: { line: a, character: b },
  end: { line: c, character: d },
});

test('all of a session as clients have them passes', () => {
  const { passed, said, send } = stand(false);
  for (const message of recorded()) send(message);
  expect(said).toEqual([]);
  expect(passed).toEqual(recorded());
});

test.each([
  [
    'no text',
    { textDocument: { uri: START, languageId: 'bookend', version: 1 } },
    'params.textDocument.text is missing',
  ],
  ['a numeric URI', opened(1, 'G28', 3), 'params.textDocument.uri is 3, not a URI'],
  ['a URI without a scheme', opened(1, 'G28', 'warm.gcode'), 'not a URI'],
  ['a version that is no whole number', opened(1.5), 'params.textDocument.version is 1.5'],
  ['no document', {}, 'params.textDocument is missing'],
  ['no params', undefined, 'params is missing'],
])('didOpen with %s is logged, and the next one is opened', (_name, params, why) => {
  const { tell } = stand();
  expect(tell('textDocument/didOpen', params)).toContain(why);
  expect(tell('textDocument/didOpen', opened())).toBeNull();
});

test.each([
  ['a range that ends before it begins', changed(2, [{ range: span(0, 3, 0, 1), text: '' }]), 'ends before it begins'],
  ['a negative line', changed(2, [{ range: span(-1, 0, 0, 1), text: '' }]), 'range.start.line is -1'],
  [
    'a character beyond what the protocol allows',
    changed(2, [{ range: span(0, 0, 0, 2 ** 31), text: '' }]),
    '2147483648',
  ],
  ['no text', changed(2, [{ range: span(0, 0, 0, 1) }]), 'params.contentChanges[0].text is missing'],
  ['a version that goes back', changed(0, [{ text: 'G28' }]), 'has version 0, and the text is at 1'],
  ['the same version', changed(1, [{ text: 'G28' }]), 'has version 1, and the text is at 1'],
])('didChange with %s is logged; the text is followed again once it is sent whole', (_name, params, why) => {
  const { tell } = stand();
  tell('textDocument/didOpen', opened());
  expect(tell('textDocument/didChange', params)).toContain(why);
  // What the client has by now is not known here, so a part of it is of no use.
  const part = [{ range: span(0, 0, 0, 1), text: 'M' }];
  expect(tell('textDocument/didChange', changed(3, part))).toContain('comes after one that was refused');
  expect(tell('textDocument/didChange', changed(4, [{ text: 'G21\n' }]))).toBeNull();
  expect(tell('textDocument/didChange', changed(5, part))).toBeNull();
});

test('changes, saving and closing of a text that is not open are logged', () => {
  const { tell } = stand();
  expect(tell('textDocument/didChange', changed(2, [{ text: '' }]))).toContain('which is not open');
  expect(tell('textDocument/didSave', { textDocument: { uri: START } })).toContain('which is not open');
  expect(tell('textDocument/didClose', { textDocument: { uri: START } })).toContain('which is not open');
  tell('textDocument/didOpen', opened());
  expect(tell('textDocument/didClose', { textDocument: { uri: START } })).toBeNull();
  expect(tell('textDocument/didChange', changed(2, [{ text: '' }]))).toContain('which is not open');
});

test('before initialize nothing is answered, and initialize comes once', () => {
  const { ask, tell, send, said } = stand(false);
  expect(ask('textDocument/hover', {})).toBe(NOT_INITIALIZED);
  expect(ask('shutdown')).toBe(NOT_INITIALIZED);
  expect(tell('textDocument/didOpen', opened())).toContain('before initialize');
  expect(ask('initialize', { capabilities: { textDocument: 5 } })).toBe(INVALID_PARAMS);
  expect(ask('initialize', INITIALIZE.params)).toBeNull();
  expect(ask('initialize', INITIALIZE.params)).toBe(INVALID_REQUEST);
  send({ jsonrpc: '2.0', id: 9, method: 'initialized', params: {} });
  expect(said.at(-1)).toMatchObject({ id: 9, error: { code: INVALID_REQUEST } });
});

test('an initialize that failed may come again', async () => {
  const { ask, gate } = stand(false);
  expect(ask('initialize', INITIALIZE.params)).toBeNull();
  const failed = { jsonrpc: '2.0', id: 1, error: { code: -32603, message: 'no' } };
  await gate.writer.write(failed);
  expect(ask('initialize', INITIALIZE.params)).toBeNull();
});

test('after shutdown only exit passes', () => {
  const { ask, tell, gate } = stand();
  expect(gate.isShutDown()).toBe(false);
  expect(ask('shutdown', null)).toBeNull();
  expect(gate.isShutDown()).toBe(true);
  expect(ask('textDocument/hover', { textDocument: { uri: START }, position: { line: 0, character: 0 } })).toBe(
    INVALID_REQUEST,
  );
  expect(ask('shutdown', null)).toBe(INVALID_REQUEST);
  expect(tell('textDocument/didOpen', opened())).toContain('after shutdown');
  expect(tell('exit', undefined)).toBeNull();
});

test('methods that nobody knows are told, and those that may be unknown are not', () => {
  const { ask, tell, said } = stand();
  expect(ask('textDocument/brew')).toBe(METHOD_NOT_FOUND);
  expect(ask('toString')).toBe(METHOD_NOT_FOUND);
  expect(tell('workspace/brew', {})).toContain('no method “workspace/brew”');
  const before = said.length;
  tell('$/brew', {});
  expect(said).toHaveLength(before);
});

test.each([
  ['null', null],
  ['a number', 7],
  ['a list', [INITIALIZE]],
  ['a method that is a number', { jsonrpc: '2.0', id: 1, method: 4 }],
  ['an id that is an object', { jsonrpc: '2.0', id: {}, method: 'shutdown' }],
])('a message that is %s is an invalid request', (_name, message) => {
  const { send, said, passed } = stand();
  send(message);
  expect(said).toMatchObject([{ error: { code: INVALID_REQUEST } }]);
  expect(passed).toEqual([]);
});

test('of many refused notifications some are logged, and that there are more', () => {
  const { tell, said } = stand();
  for (let i = 0; i < 5000; i++) tell('textDocument/didOpen', {});
  expect(said).toHaveLength(201);
  expect(said.at(-1)?.params?.message).toContain('not logged');
});

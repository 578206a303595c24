import { afterEach, expect, test } from 'vitest';
import { CancellationTokenSource, type Diagnostic, type ResponseError } from 'vscode-languageserver/node';
import { type Engine, engine } from '../../server/src/lsp/engine.ts';
import type { Timers } from '../../server/src/lsp/schedule.ts';
import { nodeTimers } from '../../server/src/nodeTransport.ts';
import { type Client, type Options, startClient } from './client.ts';

// Long texts and short ones in one session. A text that says LONG takes a thousand pieces more, each of a millisecond on
// a clock of the test's own, so that all that is counted is work.

const LONG = 'file:///mill/long.start.gcode';
const SHORT = 'file:///mill/short.start.gcode';
const PIECES = 1000;

let clock = 0;
let pieces = 0;
let client: Client;
afterEach(() => client.end());

const slow: Engine = {
  ...engine,
  *analyze(text, ...more) {
    for (let i = 0; text.includes('LONG') && i < PIECES; i++) {
      pieces++;
      clock++;
      yield;
    }
    return yield* engine.analyze(text, ...more);
  },
};
const timers: Timers = { ...nodeTimers, now: () => clock };

async function start(options: Options = {}): Promise<void> {
  pieces = 0;
  client = await startClient({ engine: slow, timers, ...options });
}

const at = (uri: string, line = 0, character = 0) => ({ textDocument: { uri }, position: { line, character } });
const failure = (answer: Promise<unknown>): Promise<ResponseError<unknown>> =>
  answer.then(
    (result) => {
      throw new Error(`answered with ${JSON.stringify(result)}`);
    },
    (error: ResponseError<unknown>) => error,
  );
const codes = (found: readonly Diagnostic[]): unknown[] => found.map(({ code }) => code);

test('the findings of the text that is typed in come before those of a long one that was asked for earlier', async () => {
  await start({ pull: true });
  client.open(LONG, '; LONG\nG28\n');
  client.open(SHORT, 'G28\n');
  let isDone = false;
  const long = client.pull(LONG).then(() => {
    isDone = true;
  });
  client.edit(SHORT, 2, null, 'G28\nG1 X1e3\n');
  expect(codes(await client.pull(SHORT))).toContain('bad-number');
  expect(isDone).toBe(false);
  expect(pieces).toBeLessThan(PIECES);
  await long;
  expect(pieces).toBe(PIECES);
});

test('pushed findings of the typed text overtake as well', async () => {
  await start();
  client.open(LONG, '; LONG\nG28\n');
  client.open(SHORT, 'G28\n');
  client.edit(SHORT, 2, null, 'G28\nG1 X1e3\n');
  await client.until(SHORT, ({ version }) => version === 2);
  expect(pieces).toBeLessThan(PIECES);
  await client.until(LONG, () => true);
});

test('what somebody waits for at the cursor comes before what an editor asks for by itself', async () => {
  await start({ pull: true });
  client.open(LONG, '; LONG\nG28\n');
  client.open(SHORT, 'G28 ; home\n');
  const tokens = client.connection.sendRequest('textDocument/semanticTokens/full', { textDocument: { uri: LONG } });
  expect(await client.connection.sendRequest('textDocument/hover', at(SHORT))).not.toBeNull();
  expect(pieces).toBeLessThan(PIECES);
  await tokens;
});

test('of many requests about one text it is analysed once', async () => {
  await start({ pull: true });
  client.open(LONG, '; LONG\nG28\n');
  const textDocument = { uri: LONG };
  await Promise.all([
    client.pull(LONG),
    client.connection.sendRequest('textDocument/documentSymbol', { textDocument }),
    client.connection.sendRequest('textDocument/foldingRange', { textDocument }),
    client.connection.sendRequest('textDocument/hover', at(LONG, 1)),
  ]);
  expect(pieces).toBe(PIECES);
});

test('a cancelled request is answered at once, and its work is left off', async () => {
  await start({ pull: true });
  client.open(LONG, '; LONG\nG28\n');
  client.open(SHORT, 'G28\n');
  const source = new CancellationTokenSource();
  const hover = failure(client.connection.sendRequest('textDocument/hover', at(LONG, 1), source.token));
  // By its answer the first request is on its way, in the middle of its work.
  await client.connection.sendRequest('textDocument/hover', at(SHORT));
  source.cancel();
  // LSP 3.17: RequestCancelled.
  expect((await hover).code).toBe(-32800);
  const left = pieces;
  expect(left).toBeLessThan(PIECES);
  for (let i = 0; i < 20; i++) await client.connection.sendRequest('textDocument/hover', at(SHORT));
  expect(pieces).toBe(left);
});

test('an edit ends what was asked about the text before it: with an error, or so that the editor asks again', async () => {
  await start({ pull: true });
  client.open(LONG, '; LONG\nG28\n');
  const ask = (method: string, params: object) => client.connection.sendRequest<unknown>(method, params);
  const textDocument = { uri: LONG };
  const hover = failure(ask('textDocument/hover', at(LONG, 1)));
  const symbols = failure(ask('textDocument/documentSymbol', { textDocument }));
  const completion = ask('textDocument/completion', at(LONG, 1, 1));
  const findings = failure(ask('textDocument/diagnostic', { textDocument }));
  const status = ask('bookend/machines', { uri: LONG });
  client.edit(LONG, 2, null, 'G28\nG1 X1e3\n');
  // LSP 3.17: ContentModified, and ServerCancelled with its data for a pull of findings.
  expect((await hover).code).toBe(-32801);
  expect((await symbols).code).toBe(-32801);
  expect(await completion).toEqual({ isIncomplete: true, items: [] });
  expect(await findings).toMatchObject({ code: -32802, data: { retriggerRequest: true } });
  // What is not about one version is told of the new one.
  expect(await status).toMatchObject({ verdict: { fails: expect.any(Number) } });
  expect(codes(await client.pull(LONG))).toContain('bad-number');
  expect(pieces).toBeLessThan(PIECES);
});

test('closing a long text ends what is done for it', async () => {
  await start();
  client.open(LONG, '; LONG\nG28\n');
  client.open(SHORT, 'G28\n');
  await client.until(SHORT, () => true);
  client.close(LONG);
  await client.until(LONG, ({ diagnostics }) => diagnostics.length === 0);
  const left = pieces;
  client.edit(SHORT, 2, null, 'G28\nG1 X1e3\n');
  await client.until(SHORT, ({ version }) => version === 2);
  expect(pieces).toBe(left);
  expect(left).toBeLessThan(PIECES);
});

test('a text that is edited over and over is analysed as far as the last edit', async () => {
  await start();
  client.open(LONG, '; LONG\nG28\n');
  for (let version = 2; version < 40; version++) client.edit(LONG, version, null, `; LONG ${version}\nG28\n`);
  client.edit(LONG, 40, null, 'G28\nG1 X1e3\n');
  const { diagnostics } = await client.until(LONG, ({ version }) => version === 40);
  expect(codes(diagnostics)).toContain('bad-number');
  expect(pieces).toBeLessThan(PIECES);
  expect(client.published.map(({ version }) => version)).toEqual([40]);
});

import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import {
  createConnection,
  type Diagnostic,
  ProposedFeatures,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import { makeGate } from '../../server/src/lsp/gate.ts';
import { inspectHere } from '../../server/src/lsp/inspectHere.ts';
import { startServer } from '../../server/src/lsp/server.ts';
import { nodeTimers } from '../../server/src/nodeTransport.ts';
import { share } from '../quick/share.ts';
import { anyValue, mutated, seeded } from './mutate.ts';
import { INITIALIZE, PLOVER, recorded } from './recorded.ts';

// A recorded session in which messages are changed, left out and doubled at random: whatever comes, every request is
// answered, and what comes next is served as ever. Over real streams and the real framing, in memory.

/** Messages that are changed in the ordinary run, or (npm run fuzz) sessions of which each message may be. */
const MESSAGES = share(10_000);
const SESSIONS = Number(process.env.BOOKEND_SESSIONS ?? 0);
const FIRST = Number(process.env.BOOKEND_FIRST ?? 0);

interface Received {
  readonly id?: number | string | null;
  readonly method?: string;
  readonly params?: { readonly items?: readonly unknown[] };
  readonly result?: unknown;
  readonly error?: { readonly code: number; readonly message: string };
}

/** A client that sends whatever it is given. */
function rawClient(answer: (response: object) => unknown) {
  const toServer = new PassThrough();
  const toClient = new PassThrough();
  const gate = makeGate(new StreamMessageReader(toServer), new StreamMessageWriter(toClient));
  const startInspection = inspectHere({
    inflate: () => {
      throw new Error('nothing unpacks here');
    },
    hasher: null,
    files: null,
    now: () => performance.now(),
    rest: () => new Promise((resolve) => setImmediate(resolve)),
  });
  const server = createConnection(ProposedFeatures.all, gate.reader, gate.writer);
  const loadJson = () => import('../../server/src/lsp/jsonFiles.ts');
  startServer(server, { disk: null, startInspection, loadJson, timers: nodeTimers });
  const waiting = new Map<unknown, (response: Received) => void>();
  const open = new Set<unknown>();
  const log: string[] = [];
  const send = (message: unknown): void => {
    const body = Buffer.from(JSON.stringify(message) ?? 'null');
    toServer.write(`Content-Length: ${body.length}\r\n\r\n`);
    toServer.write(body);
    const { id, method } = (message ?? {}) as Received;
    if (typeof method === 'string' && (typeof id === 'string' || (typeof id === 'number' && Number.isFinite(id))))
      open.add(id);
  };
  new StreamMessageReader(toClient).listen((message) => {
    const received = message as Received;
    if (received.method === undefined) {
      open.delete(received.id);
      waiting.get(received.id)?.(received);
      return;
    }
    if (received.method === 'window/logMessage') log.push(JSON.stringify(received.params));
    if (received.id === undefined) return;
    const result = received.method === 'workspace/configuration' ? [null] : null;
    send(answer({ jsonrpc: '2.0', id: received.id, result }));
  });
  return {
    send,
    log,
    /** Requests without an answer so far. */
    open,
    ask: (id: string, method: string, params: unknown): Promise<Received> =>
      new Promise((resolve) => {
        waiting.set(id, resolve);
        send({ jsonrpc: '2.0', id, method, params });
      }),
    end: () => server.dispose(),
  };
}

/** Sends a session of which each message is changed by chance; how many were. */
async function session(seed: number, share: number): Promise<number> {
  const random = seeded(seed);
  let ids = 1000;
  let changed = 0;
  const change = (message: object): unknown[] => {
    if (random() >= share) return [message];
    changed++;
    return mutated(message, random, () => ids++);
  };
  // What the server asks is answered, but not always with what it asked for.
  const client = rawClient((response) =>
    share > 0 && random() < 0.1 ? { ...response, result: anyValue(random) } : response,
  );
  for (const message of recorded()) {
    for (const one of change(message)) client.send(one);
    // Some come in one piece, others while the server is at work.
    if (random() < 0.5) await new Promise((resolve) => setImmediate(resolve));
  }
  await serves(client, seed);
  client.end();
  return changed;
}

/** The session goes on as ever: a machine and a sequence are opened, edited and found at fault. */
async function serves(client: ReturnType<typeof rawClient>, seed: number): Promise<void> {
  const begun = await client.ask('begin', 'initialize', INITIALIZE.params);
  if (!begun.error) client.send({ jsonrpc: '2.0', method: 'initialized', params: {} });
  else expect(begun.error.message).toMatch(/came twice/);
  const tell = (method: string, params: object) => client.send({ jsonrpc: '2.0', method, params });
  const open = (uri: string, languageId: string, text: string) =>
    tell('textDocument/didOpen', { textDocument: { uri, languageId, version: 1, text } });
  const uri = 'file:///other/next.start.gcode';
  open('file:///other/plover.machine.json', 'bookend-machine', PLOVER);
  open(uri, 'bookend', 'G21\nG90\nG28\nG1 X20 F6000\n');
  const end = { line: 3, character: 6 };
  const contentChanges = [{ range: { start: { line: 3, character: 4 }, end }, text: '217' }];
  tell('textDocument/didChange', { textDocument: { uri, version: 2 }, contentChanges });
  const { result, error } = await client.ask('findings', 'textDocument/diagnostic', { textDocument: { uri } });
  expect(error, `seed ${seed}`).toBeUndefined();
  const { items } = result as { items: Diagnostic[] };
  const found = items.find(({ code }) => code === 'beyond-reach');
  expect(found?.message, `seed ${seed}`).toContain('Plover 204');
  expect(found?.range, `seed ${seed}`).toEqual({ start: { line: 3, character: 3 }, end: { line: 3, character: 7 } });
  const { result: page } = await client.ask('page', 'textDocument/hover', {
    textDocument: { uri },
    position: { line: 2, character: 1 },
  });
  expect(JSON.stringify(page), `seed ${seed}`).toContain('G28');
  // Everybody else has had an answer as well by then, or has it as soon as the work is done.
  for (let turn = 0; client.open.size > 0; turn++) {
    expect(turn, `seed ${seed}: no answer to ${[...client.open].join()}`).toBeLessThan(100_000);
    await new Promise((resolve) => setImmediate(resolve));
  }
}

test('after a session of which no message was changed', async () => {
  expect(await session(0, 0)).toBe(0);
});

test(`after ${SESSIONS > 0 ? `${SESSIONS} changed sessions` : `${MESSAGES} changed messages`}`, async () => {
  let changed = 0;
  let sessions = 0;
  for (let seed = FIRST + 1; SESSIONS > 0 ? sessions < SESSIONS : changed < MESSAGES; seed++, sessions++)
    changed += await session(seed, seed % 2 === 0 ? 0.9 : 0.3);
  expect(changed).toBeGreaterThan(0);
  if (SESSIONS > 0) console.log(`${sessions} sessions with ${changed} changed messages, from seed ${FIRST + 1}`);
});

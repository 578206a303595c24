import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { afterEach, expect, test } from 'vitest';
import {
  CancellationTokenSource,
  createProtocolConnection,
  IPCMessageReader,
  IPCMessageWriter,
  type MessageReader,
  type MessageWriter,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import {
  CHECK_JOB,
  type InspectedFileAnswer,
  type InspectedFileParams,
  type InspectionAnswer,
  JOB_FILE,
  JOB_PROGRESS,
} from '../../server/src/lsp/inspectionMessages.ts';

// The built server as other editors start it. `npm test` builds before it tests.

const server = fileURLToPath(new URL('../../dist/server.js', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'bookend-stdio-'));
let child: ChildProcess;
afterEach(() => {
  child.kill();
  rmSync(folder, { recursive: true, force: true });
});

const stdio = (): [MessageReader, MessageWriter] => {
  child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
  if (!child.stdout || !child.stdin) throw new Error('no pipes');
  return [new StreamMessageReader(child.stdout), new StreamMessageWriter(child.stdin)];
};
const ipc = (): [MessageReader, MessageWriter] => {
  child = spawn(process.execPath, [server, '--node-ipc'], { stdio: ['inherit', 'inherit', 'inherit', 'ipc'] });
  return [new IPCMessageReader(child), new IPCMessageWriter(child)];
};

test.each([
  ['stdio', stdio],
  ['IPC', ipc],
])('a session over %s with machine files on the disk, up to a clean end', async (_name, connect) => {
  expect(existsSync(server), 'dist/server.js is built').toBe(true);
  const shop = join(folder, 'my shop');
  mkdirSync(shop, { recursive: true });
  const bed = { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 };
  writeFileSync(join(shop, 'heron.machine.json'), JSON.stringify({ name: 'Heron 228', bed }));

  const connection = createProtocolConnection(...connect());
  const published = new Promise<PublishDiagnosticsParams>((resolve) => {
    connection.onNotification('textDocument/publishDiagnostics', resolve);
  });
  connection.listen();
  const ended = new Promise<number | null>((resolve) => child.on('exit', resolve));
  await connection.sendRequest('initialize', { processId: process.pid, rootUri: null, capabilities: {} });
  await connection.sendNotification('initialized', {});
  const uri = pathToFileURL(join(shop, 'warm.start.gcode')).href;
  await connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: 'gcode', version: 1, text: 'G21\nG90\nG28\nG1 X300 F6000\n' },
  });
  const { diagnostics } = await published;
  expect(diagnostics.find(({ code }) => code === 'beyond-reach')?.message).toContain('Heron 228');
  await connection.sendRequest('shutdown');
  await connection.sendNotification('exit');
  expect(await ended).toBe(0);
  connection.dispose();
});

test('whole files are checked in a thread: written out whole, or cancelled with nothing left behind', async () => {
  mkdirSync(folder, { recursive: true });
  const bed = { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 };
  writeFileSync(join(folder, 'heron.machine.json'), JSON.stringify({ name: 'Heron 228', bed }));
  const row = 'G1 X34 Y27 E0.06\nG1 X93 Y27 E0.06\n';
  const head = 'G21\nG90\nM83\nG28\nM109 S208\nG1 X34 Y27 Z0.24 F1380\n';
  const short = `${head}${row}G1 X231 E1\n`;
  writeFileSync(join(folder, 'short.bin'), gzipSync(short));
  writeFileSync(join(folder, 'long.bin'), gzipSync(head + row.repeat(3_000_000)));
  const connection = createProtocolConnection(...stdio());
  const cancel = new CancellationTokenSource();
  connection.onNotification(JOB_PROGRESS, ({ token }: { token: number }) => {
    if (token === 2) cancel.cancel();
  });
  connection.listen();
  await connection.sendRequest('initialize', { processId: process.pid, rootUri: null, capabilities: {} });
  await connection.sendNotification('initialized', {});
  const at = (name: string) => pathToFileURL(join(folder, name)).href;
  const check = (name: string, token: number): Promise<InspectionAnswer> => {
    const params = { uri: at(`${name}.bin`), entry: { index: 0, name: '' }, target: at(`${name}.gcode`), token };
    return connection.sendRequest(CHECK_JOB, params, cancel.token);
  };
  const answer = await check('short', 1);
  expect(answer).toMatchObject({ kind: 'report', written: short.length });
  expect(answer.kind === 'report' && answer.findings.map(({ rule }) => rule)).toContain('off-bed');
  expect(readFileSync(join(folder, 'short.gcode'), 'utf8')).toBe(short);
  expect(await check('long', 2)).toEqual({ kind: 'cancelled' });
  expect(readdirSync(folder).sort()).toEqual(['heron.machine.json', 'long.bin', 'short.bin', 'short.gcode']);
  await connection.sendRequest('shutdown');
  connection.dispose();
}, 30_000);

test('the thread reads and writes files in the client’s hands, and tells why it cannot', async () => {
  const text = `G21\nG90\nG28\n${'G1 X20 F6000\n'.repeat(5_000)}`;
  const packed = gzipSync(text);
  const written: Buffer[] = [];
  const closed: number[] = [];
  const connection = createProtocolConnection(...stdio());
  connection.onRequest(JOB_FILE, async (params: InspectedFileParams): Promise<InspectedFileAnswer> => {
    if (params.do === 'open' && params.uri === 'memory:/gone') throw new Error('It has gone away.');
    if (params.do === 'open') return { ok: params.uri === 'memory:/plate', id: 1, size: packed.length, message: 'No.' };
    if (params.do === 'create') return { ok: true, id: 2 };
    if (params.do === 'write') written.push(Buffer.from(params.bytes, 'base64'));
    if (params.do === 'close') closed.push(params.id);
    if (params.do !== 'read') return { ok: true };
    return { ok: true, bytes: packed.subarray(params.offset, params.offset + params.length).toString('base64') };
  });
  connection.listen();
  await connection.sendRequest('initialize', { processId: process.pid, rootUri: null, capabilities: {} });
  await connection.sendNotification('initialized', {});
  const check = (uri: string, more: object = {}): Promise<InspectionAnswer> =>
    connection.sendRequest(CHECK_JOB, { uri, token: 1, ...more });
  const answer = await check('memory:/plate', { entry: { index: 0, name: '' }, target: 'memory:/copy' });
  expect(answer).toMatchObject({ kind: 'report', written: text.length });
  expect(Buffer.concat(written).toString()).toBe(text);
  expect(closed.sort()).toEqual([1, 2]);
  const gone = await check('memory:/gone');
  expect(gone.kind === 'failed' && gone.message).toContain('It has gone away.');
  await connection.sendRequest('shutdown');
  connection.dispose();
}, 30_000);

/** The server as it is, with the bytes of its two streams; killed after the test. */
function bare(): { write(text: string): void; said(): string; errors(): string; ended: Promise<number | null> } {
  child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'pipe'] });
  let out = '';
  let err = '';
  child.stdout?.on('data', (bytes: Buffer) => {
    out += bytes.toString('latin1');
  });
  child.stderr?.on('data', (bytes: Buffer) => {
    err += bytes.toString();
  });
  // It may end while it is still being written to.
  child.stdin?.on('error', () => {});
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  return { write: (text) => void child.stdin?.write(text), said: () => out, errors: () => err, ended };
}

const framed = (message: unknown): string => {
  const body = typeof message === 'string' ? message : JSON.stringify(message);
  return `Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`;
};

test.each([
  ['no length', 'Content-Type: application/json\r\n\r\n{}', 'states no Content-Length'],
  ['a negative length', 'Content-Length: -20\r\n\r\n{}', 'states no Content-Length'],
  ['a length beyond all texts', 'Content-Length: 99999999999\r\n\r\n', 'more than the 268435456'],
  ['a header of megabytes', 'A'.repeat(8_000_000), 'has more than 4096 bytes'],
  ['no protocol at all', 'GET / HTTP/1.1\r\nHost: here\r\n\r\n', 'states no Content-Length'],
])('%s on standard input: the server says why and ends', async (_name, text, why) => {
  const { write, errors, ended } = bare();
  write(text);
  expect(await ended).toBe(1);
  expect(errors()).toContain(why);
});

test('bodies that are no JSON, or too deep, are answered with an error; the session goes on to its end', async () => {
  const { write, said, ended } = bare();
  for (const body of ['', '{', '\u0000', '{"jsonrpc":"2.0",}', '['.repeat(200_000), '[]', 'null', '"shutdown"'])
    write(framed(body));
  write(framed({ jsonrpc: '2.0', method: '$/cancelRequest' }));
  write(framed({ jsonrpc: '2.0', id: 1, method: 'initialize', params: { processId: null, capabilities: {} } }));
  write(framed({ jsonrpc: '2.0', id: 2, method: 'shutdown' }));
  write(framed({ jsonrpc: '2.0', method: 'exit' }));
  expect(await ended).toBe(0);
  const errors = [...said().matchAll(/"id":null,"error":\{"code":(-\d+)/g)].map(([, code]) => Number(code));
  // JSON-RPC 2.0, 5.1: parse error, invalid request.
  expect(errors).toEqual([-32700, -32700, -32700, -32700, -32700, -32600, -32600, -32600]);
  expect(said()).toContain('"id":1,"result"');
  expect(said()).toContain('"id":2,"result":null');
});

test.each([
  [0, 'after a shutdown', true],
  [1, 'without one', false],
])('the end of the stream ends the server: code %i %s', async (code, _when, shutdown) => {
  const { write, said, ended } = bare();
  write(framed({ jsonrpc: '2.0', id: 1, method: 'initialize', params: { processId: null, capabilities: {} } }));
  if (shutdown) write(framed({ jsonrpc: '2.0', id: 2, method: 'shutdown' }));
  await new Promise<void>((resolve) => {
    const last = shutdown ? '"id":2' : '"id":1';
    const look = () => (said().includes(last) ? resolve() : child.stdout?.once('data', () => setImmediate(look)));
    look();
  });
  child.stdin?.end();
  expect(await ended).toBe(code);
});

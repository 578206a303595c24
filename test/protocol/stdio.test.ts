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
  JOB_FILE,
  JOB_PROGRESS,
  type JobAnswer,
  type JobFileAnswer,
  type JobFileParams,
} from '../../server/src/lsp/jobMessages.ts';

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
  const check = (name: string, token: number): Promise<JobAnswer> => {
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
  connection.onRequest(JOB_FILE, async (params: JobFileParams): Promise<JobFileAnswer> => {
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
  const check = (uri: string, more: object = {}): Promise<JobAnswer> =>
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

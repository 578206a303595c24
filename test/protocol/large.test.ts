import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, test } from 'vitest';
import {
  createProtocolConnection,
  type Hover,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';

// Large texts through the built server itself, in a process with little memory. `npm test` builds before it tests.

const server = fileURLToPath(new URL('../../dist/server.js', import.meta.url));
const LARGE = 'file:///barn/large.start.gcode';
const SMALL = 'file:///barn/small.start.gcode';
/** What the whole process may take at its peak, in MiB: what is kept, what is not cleared away yet, and Node itself. */
const MOST = 300;

let child: ChildProcess;
afterEach(() => void child.kill());

interface Session {
  readonly connection: ProtocolConnection;
  /** What came, in the order in which it came. */
  readonly published: readonly PublishDiagnosticsParams[];
  /** Waits for what is found in a version of a document. */
  findings(uri: string, version: number): Promise<PublishDiagnosticsParams>;
}

/** Starts the server with 200 MB for what it keeps, and texts of up to 40 MB checked. */
async function start(): Promise<Session> {
  expect(existsSync(server), 'dist/server.js is built').toBe(true);
  child = spawn(process.execPath, ['--max-old-space-size=200', server, '--stdio'], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  if (!child.stdout || !child.stdin) throw new Error('no pipes');
  const ended = new Promise<never>((_, reject) =>
    child.once('exit', (code, signal) => reject(new Error(`the server ended: ${code ?? signal}`))),
  );
  ended.catch(() => {
    // Told to whoever waits for findings.
  });
  const connection = createProtocolConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  const published: PublishDiagnosticsParams[] = [];
  let wake = () => {};
  connection.onNotification('textDocument/publishDiagnostics', (params: PublishDiagnosticsParams) => {
    published.push(params);
    wake();
  });
  connection.listen();
  const initializationOptions = { bookend: { largestFile: 40 } };
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: null,
    capabilities: { textDocument: { publishDiagnostics: { versionSupport: true } } },
    initializationOptions,
  });
  await connection.sendNotification('initialized', {});
  return {
    connection,
    published,
    async findings(uri, version) {
      for (;;) {
        const found = published.find((one) => one.uri === uri && one.version === version);
        if (found) return found;
        const next = new Promise<void>((resolve) => {
          wake = resolve;
        });
        await Promise.race([next, ended]);
      }
    },
  };
}

/** The peak of a process's resident memory in MiB; null on systems that do not say it in a file. */
function peak(): number | null {
  const status = `/proc/${child.pid}/status`;
  if (!existsSync(status)) return null;
  return Number(/VmHWM:\s+(\d+) kB/.exec(readFileSync(status, 'utf8'))?.[1]) / 1024;
}

const open = ({ connection }: Session, uri: string, text: string) =>
  connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: 'bookend', version: 1, text },
  });

const said = ({ diagnostics }: PublishDiagnosticsParams, code: string): readonly unknown[] =>
  diagnostics.filter((one) => one.code === code).map(({ message }) => message);

test.each([
  ['tagged lines', 'G1 X{{ part.left + 5 }} Y{{ part.front }} F6000\n'.repeat(208_334), /up to line [\d,]+ of 208,335/],
  ['a million sections that are never closed', '{{#a}}'.repeat(1_000_000), /line 1 alone/],
  ['such sections, each on a line', '{{#a}}\n'.repeat(1_000_000), /up to line [\d,]+ of 1,000,001/],
  ['plain lines', 'G1 X34.25 Y27.5 E0.0625 F1800\n'.repeat(333_334), /up to line [\d,]+ of 333,335/],
])('10 MB of %s: a small document is answered meanwhile, and memory stays small', async (_, text, part) => {
  const session = await start();
  const { connection } = session;
  await open(session, SMALL, 'G28\nG1 X10 F3000\n');
  await session.findings(SMALL, 1);
  await open(session, LARGE, text);
  // An edit and a question, at once: both are answered before the large text's check is over.
  await connection.sendNotification('textDocument/didChange', {
    textDocument: { uri: SMALL, version: 2 },
    contentChanges: [{ range: { start: { line: 1, character: 4 }, end: { line: 1, character: 6 } }, text: '1,5' }],
  });
  const hover = await connection.sendRequest<Hover | null>('textDocument/hover', {
    textDocument: { uri: SMALL },
    position: { line: 0, character: 1 },
  });
  expect(JSON.stringify(hover)).toContain('G28');
  expect(said(await session.findings(SMALL, 2), 'bad-number')).toHaveLength(1);
  expect(session.published.map(({ uri }) => uri)).not.toContain(LARGE);
  const [told, ...others] = said(await session.findings(LARGE, 1), 'checked-in-part');
  expect(told).toMatch(part);
  expect(others).toEqual([]);
  // What an editor asks about every text that it shows, and an edit of it.
  const textDocument = { uri: LARGE };
  for (const method of ['documentSymbol', 'foldingRange', 'semanticTokens/full'])
    expect(await connection.sendRequest(`textDocument/${method}`, { textDocument }), method).not.toBeNull();
  await connection.sendNotification('textDocument/didChange', {
    textDocument: { ...textDocument, version: 2 },
    contentChanges: [{ range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } }, text: 'G28\n' }],
  });
  expect(said(await session.findings(LARGE, 2), 'checked-in-part')).toHaveLength(1);
  const most = peak();
  if (process.env.BOOKEND_PEAKS) console.log(`peak ${most?.toFixed(0)} MiB: ${_}`);
  if (most !== null) expect(most).toBeLessThan(MOST);
  await connection.sendRequest('shutdown');
  connection.dispose();
});

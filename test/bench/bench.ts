import { type ChildProcess, spawn } from 'node:child_process';
import {
  createMessageConnection,
  type MessageConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-jsonrpc/node';
import { draftVocabulary } from '../../server/src/drafting/draft.ts';
import { readMachine } from '../../server/src/machineFile/load.ts';
import { analyze } from '../../server/src/service/analyze.ts';
import { parse } from '../../server/src/syntax/parse.ts';
import { readVocabulary } from '../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../server/src/vocabulary/vocabulary.ts';
import { MACHINE } from './machine.ts';
import { shares } from './rules.ts';
import {
  conditionalSequence,
  foreignSequence,
  program,
  RICH_VOCABULARY,
  richSequence,
  startSequence,
} from './texts.ts';

interface Row {
  readonly name: string;
  readonly figure: string;
  readonly p95: string;
  readonly goal: string;
  readonly met: boolean;
}

/** Runs every benchmark; `server` is the built dist/server.js. Times in ms. */
export async function runAll({ server }: { readonly server: string }): Promise<Row[]> {
  const machine = readMachine(MACHINE).machine;
  const vocabulary = vocabularyFor(machine);
  const short = startSequence(300, 20);
  const long = program(20_000);
  const rows: Row[] = [];
  rows.push(
    row(
      'parse 20,000 lines',
      times(20, () => parse(long)),
      'median',
      null,
    ),
  );
  rows.push(
    row(
      'analysis, 300-line sequence, 20 placeholders',
      times(300, () => analyze(short, 'start', machine, vocabulary), 200),
      'median',
      3,
    ),
  );
  rows.push(
    row(
      'analysis, 20,000-line program',
      times(15, () => analyze(long, 'program', machine, vocabulary)),
      'median',
      null,
    ),
  );
  const mixed = conditionalSequence(280, 40, 10);
  const many = conditionalSequence(300, 40, 200);
  rows.push(
    row(
      'analysis, 300 lines, 40 placeholders, 10 conditions',
      times(100, () => analyze(mixed, 'start', machine, vocabulary), 50),
      'median',
      null,
    ),
  );
  rows.push(
    row(
      'analysis, 200 conditions',
      times(40, () => analyze(many, 'start', machine, vocabulary), 20),
      'median',
      60,
    ),
  );
  const own = vocabularyFor(machine, readVocabulary(RICH_VOCABULARY).vocabulary);
  const rich = richSequence();
  rows.push(
    row(
      'analysis, 300 lines, 40 tags of a rich language',
      times(100, () => analyze(rich, 'start', machine, own), 50),
      'median',
      null,
    ),
  );
  const foreign = { name: '', text: foreignSequence(500_000), role: 'start' as const };
  rows.push(
    row(
      'drafting 500 kB',
      times(10, () => draftVocabulary([foreign], machine), 3),
      'median',
      1000,
    ),
  );
  rows.push(shareRow('300-line sequence', shares(short, 'start', machine, vocabulary)));
  rows.push(shareRow('20,000-line program', shares(long, 'program', machine, vocabulary)));
  rows.push(row('server ready after spawn', await startUps(server, 10), 'median', 300));
  rows.push(
    row(
      'keystroke to findings, 300-line sequence',
      await keystrokes(server, short, 'bench.start.gcode', 200),
      'p95',
      15,
    ),
  );
  rows.push(
    row(
      'keystroke to findings, 40 placeholders, 10 conditions',
      await keystrokes(server, mixed, 'mixed.start.gcode', 150),
      'p95',
      25,
    ),
  );
  rows.push(
    row('keystroke to findings, 20,000-line program', await keystrokes(server, long, 'bench.gcode', 40), 'p95', 150),
  );
  return rows;
}

function times(runs: number, what: () => unknown, warmUp = 5): number[] {
  for (let i = 0; i < warmUp; i++) what();
  return Array.from({ length: runs }, () => {
    const from = performance.now();
    what();
    return performance.now() - from;
  });
}

function row(name: string, ms: readonly number[], judged: 'median' | 'p95', goal: number | null): Row {
  const sorted = [...ms].sort((a, b) => a - b);
  const at = (share: number): number =>
    sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
  const figure = judged === 'median' ? at(0.5) : at(0.95);
  return {
    name,
    figure: `${at(0.5).toFixed(2)} ms`,
    p95: `${at(0.95).toFixed(2)} ms`,
    goal: goal === null ? '' : `${judged} ${goal} ms`,
    met: goal === null || figure <= goal,
  };
}

/** No rule takes more than 15 % of an analysis. The ten that take most are printed above the table. */
function shareRow(name: string, { whole, shares: all }: ReturnType<typeof shares>): Row {
  const percent = (share: number): string => `${(share * 100).toFixed(1)} %`;
  const most = all[0] ?? { rule: 'none', ms: 0, share: 0 };
  const sum = all.reduce((ms, one) => ms + one.ms, 0);
  console.log(`rules on the ${name}, ${all.length} in ${sum.toFixed(2)} of ${whole.toFixed(2)} ms:`);
  for (const one of all.slice(0, 10))
    console.log(`  ${one.rule.padEnd(24)} ${one.ms.toFixed(3).padStart(8)} ms ${percent(one.share).padStart(7)}`);
  return {
    name: `slowest rule, ${name}: ${most.rule}`,
    figure: percent(most.share),
    p95: '',
    goal: '15 %',
    met: most.share <= 0.15,
  };
}

interface Session {
  readonly process: ChildProcess;
  readonly connection: MessageConnection;
  readonly readyAfter: number;
}

/** Spawns the server and goes through initialize: what an editor waits for. */
async function start(server: string): Promise<Session> {
  const from = performance.now();
  const child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
  const connection = createMessageConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  connection.listen();
  // A client without pull diagnostics: findings are published, so each keystroke's arrival can be timed.
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: null,
    capabilities: {},
    workspaceFolders: null,
  });
  const readyAfter = performance.now() - from;
  await connection.sendNotification('initialized', {});
  return { process: child, connection, readyAfter };
}

async function stop(session: Session): Promise<void> {
  const ended = new Promise((resolve) => session.process.once('exit', resolve));
  await session.connection.sendRequest('shutdown');
  await session.connection.sendNotification('exit');
  await ended;
  session.connection.dispose();
}

async function startUps(server: string, runs: number): Promise<number[]> {
  const ms: number[] = [];
  for (let i = 0; i < runs; i++) {
    const session = await start(server);
    ms.push(session.readyAfter);
    await stop(session);
  }
  return ms;
}

/** Types one character at a time into a comment half way down, and waits for that version's findings each time. */
async function keystrokes(server: string, text: string, name: string, runs: number): Promise<number[]> {
  const session = await start(server);
  const { connection } = session;
  const waiting = new Map<number, () => void>();
  connection.onNotification('textDocument/publishDiagnostics', (p: { version?: number }) =>
    waiting.get(p.version ?? -1)?.(),
  );
  connection.onRequest('workspace/configuration', (p: { items: unknown[] }) => p.items.map(() => null));
  connection.onRequest('client/registerCapability', () => null);
  const findingsOf = (version: number): Promise<void> => new Promise((resolve) => waiting.set(version, resolve));
  const machineUri = 'untitled:/bench/bench.machine.json';
  await connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri: machineUri, languageId: 'bookend-machine', version: 1, text: MACHINE },
  });
  const uri = `untitled:/bench/${name}`;
  const first = findingsOf(1);
  await connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: 'bookend', version: 1, text },
  });
  await first;
  const line = Math.floor(text.split('\n').length / 2);
  const ms: number[] = [];
  for (let i = 0; i < runs + 20; i++) {
    const version = i + 2;
    const shown = findingsOf(version);
    const from = performance.now();
    await connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version },
      contentChanges: [
        { range: { start: { line, character: 4 }, end: { line, character: 4 } }, text: i % 2 === 0 ? '1' : ' ' },
      ],
    });
    await shown;
    if (i >= 20) ms.push(performance.now() - from);
  }
  await stop(session);
  return ms;
}

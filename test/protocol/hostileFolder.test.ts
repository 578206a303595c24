// A folder that somebody sent: what is no regular file, is too large or leads elsewhere is told and never waited for.

import { spawn } from 'node:child_process';
import * as fs from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  createProtocolConnection,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import { diskFiles } from '../../server/src/lsp/files.ts';
import { MACHINES, type Status, TRUSTED } from '../../server/src/lsp/messages.ts';
import { nodeClock, nodeDisk } from '../../server/src/nodeReading.ts';
import { pipe, TRAPS } from '../files/hostile.ts';
import { type Client, type Options, startClient } from './client.ts';

const TEXT = 'G21\nG90\nG28\nG1 X{{ part.left }} F6000\n';
const BED = { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 };
const machine = (more: object = {}) => JSON.stringify({ name: 'Wagtail 204', bed: BED, ...more });

let folder = '';
let shop = '';
let client: Client | null = null;
let cleanUp: () => void = () => {};
beforeEach(async () => {
  folder = await fs.realpath(await fs.mkdtemp(join(tmpdir(), 'bookend-hostile-')));
  shop = join(folder, 'shop');
  await fs.mkdir(shop);
  cleanUp = () => {};
});
afterEach(async () => {
  await client?.end();
  client = null;
  cleanUp();
  await fs.rm(folder, { recursive: true, force: true });
});

const uriOf = (name: string): string => pathToFileURL(join(shop, name)).href;
const put = (name: string, content: string) => fs.writeFile(join(shop, name), content);

/** A session in the folder, on the real disk. */
async function start(more: Options = {}): Promise<Client> {
  const files = diskFiles(nodeDisk, fileURLToPath, nodeClock);
  client = await startClient({ files, pull: true, folders: [pathToFileURL(shop).href], ...more });
  return client;
}

async function findings(name: string, text = TEXT, language?: string): Promise<{ code: unknown; message: string }[]> {
  client?.open(uriOf(name), text, language);
  const found = (await client?.pull(uriOf(name))) ?? [];
  return found.map(({ code, message }) => ({ code, message: String(message) }));
}
const messages = async (rule: string, ...args: Parameters<typeof findings>): Promise<string> =>
  (await findings(...args)).flatMap(({ code, message }) => (code === rule ? [message] : [])).join('\n');
const statusOf = async (name: string): Promise<Status> =>
  (await (client as Client).connection.sendRequest<Status | null>(MACHINES, { uri: uriOf(name) })) as Status;

describe.runIf(process.platform !== 'win32')('what is no regular file', () => {
  test.each(TRAPS.map((trap) => [trap.name, trap] as const))('as a machine file: %s', async (_, { make, says }) => {
    cleanUp = await make(join(shop, 'y.machine.json'));
    await start();
    const told = await messages('machine-file', 'a.start.gcode');
    expect(told).toMatch(says);
    expect(told).toContain('y.machine.json cannot be read: ');
    expect(told).toContain('. Machine checks are off. Put the file right, or choose another machine.');
    const status = await statusOf('a.start.gcode');
    expect([status.state, status.known.map(({ name }) => name)]).toEqual(['unreadable', ['y.machine.json']]);
    expect(status.reason).toMatch(says);
    // And the next text is answered as ever.
    expect((await findings('b.start.gcode', 'G1 X1e3\n')).map(({ code }) => code)).toContain('bad-number');
  });

  test.each(TRAPS.map((trap) => [trap.name, trap] as const))('as the vocabulary of a machine: %s', async (_, trap) => {
    cleanUp = await trap.make(join(shop, 'fifo'));
    await put('y.machine.json', machine({ placeholders: 'fifo' }));
    await start();
    const inText = await messages('vocabulary-file', 'a.start.gcode');
    expect(inText).toMatch(trap.says);
    expect(inText).toMatch(/^The vocabulary file .*fifo, which the machine file names, cannot be read: /);
    const inFile = await messages(
      'vocabulary-file',
      'y.machine.json',
      machine({ placeholders: 'fifo' }),
      'bookend-machine',
    );
    expect(inFile).toMatch(trap.says);
    // The machine itself counts.
    expect((await statusOf('a.start.gcode')).current?.name).toBe('Wagtail 204');
  });

  test('beside a machine that can be read: which one is meant is asked, and why one is not read is told', async () => {
    pipe(join(shop, 'y.machine.json'));
    await put('x.machine.json', machine());
    await start();
    expect(await messages('machine-file', 'a.start.gcode')).toMatch(/y\.machine\.json cannot be read: it is a pipe/);
    const { state, reason } = await statusOf('a.start.gcode');
    expect(state).toBe('several');
    expect(reason).toMatch(
      /\(Wagtail 204, y\.machine\.json\): choose one.*y\.machine\.json cannot be read: it is a pipe/,
    );
  });

  test('as a sequence that a machine lists: the others are found', async () => {
    pipe(join(shop, 'b.start.gcode'));
    await put('c.start.gcode', TEXT);
    const vocabulary = '{ "names": { "part.left": { "kind": "length", "range": [0, 9] } } }';
    await put('own.placeholders.json', vocabulary);
    const text = machine({
      sequences: { start: ['b.start.gcode', 'c.start.gcode', '/dev/zero'] },
      placeholders: 'own.placeholders.json',
    });
    await put('y.machine.json', text);
    const { connection } = await start();
    await findings('a.start.gcode');
    const uses = await connection.sendRequest<{ uri: string }[]>('textDocument/references', {
      textDocument: { uri: uriOf('a.start.gcode') },
      position: { line: 3, character: 10 },
      context: { includeDeclaration: false },
    });
    expect(uses.map(({ uri }) => uri).sort()).toEqual([uriOf('a.start.gcode'), uriOf('c.start.gcode')]);
  });

  test('the server over stdio: devices, pipes and growing files, and its memory stays what it was', async () => {
    const server = join(folder, 'server.cjs');
    await build({
      absWorkingDir: fileURLToPath(new URL('../../', import.meta.url)),
      ...{ entryPoints: ['server/src/node.ts'], outfile: server, bundle: true, platform: 'node', format: 'cjs' },
      ...{ target: 'node20', mainFields: ['module', 'main'], logLevel: 'error' },
    });
    await fs.symlink('/dev/zero', join(shop, 'y.machine.json'));
    await fs.mkdir(join(shop, 'deep'));
    pipe(join(shop, 'deep/own.placeholders.json'));
    await put('deep/z.machine.json', machine({ placeholders: 'own.placeholders.json' }));
    const child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
    cleanUp = () => child.kill();
    const connection = createProtocolConnection(
      new StreamMessageReader(child.stdout),
      new StreamMessageWriter(child.stdin),
    );
    const said = new Map<string, string>();
    let wake = (): void => {};
    connection.onNotification('textDocument/publishDiagnostics', ({ uri, diagnostics }: PublishDiagnosticsParams) => {
      said.set(uri, diagnostics.map(({ message }) => message).join('\n'));
      wake();
    });
    connection.listen();
    const rootUri = pathToFileURL(shop).href;
    await connection.sendRequest('initialize', { processId: process.pid, rootUri, capabilities: {} });
    await connection.sendNotification('initialized', {});
    const open = (name: string) =>
      connection.sendNotification('textDocument/didOpen', {
        textDocument: { uri: uriOf(name), languageId: 'bookend', version: 1, text: TEXT },
      });
    const until = async (name: string, words: RegExp): Promise<void> => {
      while (!words.test(said.get(uriOf(name)) ?? '')) await new Promise<void>((resolve) => (wake = resolve));
    };
    await open('a.start.gcode');
    await until('a.start.gcode', /y\.machine\.json cannot be read: it is a link to a device/);
    await open('deep/b.start.gcode');
    await until(
      'deep/b.start.gcode',
      /own\.placeholders\.json, which the machine file names, cannot be read: it is a pipe/,
    );
    if (process.platform === 'linux') {
      // proc(5): the most memory that the process ever held. Reading the device took 300 MB more every second.
      const kilobytes = /VmHWM:\s+(\d+) kB/.exec(await fs.readFile(`/proc/${child.pid}/status`, 'utf8'))?.[1];
      expect(Number(kilobytes)).toBeGreaterThan(10_000);
      expect(Number(kilobytes)).toBeLessThan(400_000);
    }
    const ended = new Promise<number | null>((resolve) => child.on('exit', resolve));
    await connection.sendRequest('shutdown');
    await connection.sendNotification('exit');
    expect(await ended).toBe(0);
    connection.dispose();
  });
});

describe('size', () => {
  const LARGE = machine({ keepOut: [], name: 'Wagtail 204', $schema: 'x'.repeat(1_200_000) });

  test('a machine file above 1 MB is told; with the setting raised it is read', async () => {
    await put('y.machine.json', LARGE);
    let section: object = {};
    await start({ settings: () => section });
    expect(await messages('machine-file', 'a.start.gcode')).toMatch(
      /it has 1\.2 MB, more than the 1\.0 MB that are read; shorten it, or raise the setting bookend\.largestMachineFile\. Machine checks are off/,
    );
    section = { largestMachineFile: 2 };
    client?.connection.sendNotification('workspace/didChangeConfiguration', { settings: null });
    expect(await messages('machine-file', 'b.start.gcode')).toBe('');
    expect((await statusOf('b.start.gcode')).current?.name).toBe('Wagtail 204');
  });

  test('one that is open in the editor is told in itself, and in the texts that it should decide', async () => {
    await start();
    client?.open(uriOf('y.machine.json'), LARGE, 'bookend-machine');
    const [finding, ...more] = (await client?.pull(uriOf('y.machine.json'))) ?? [];
    expect(more).toEqual([]);
    expect(finding?.message).toMatch(/^This file is not read: it has 1\.2 MB, more than the 1\.0 MB that are read/);
    expect(await messages('machine-file', 'a.start.gcode')).toMatch(/y\.machine\.json cannot be read: it has 1\.2 MB/);
  });

  test('the same of a vocabulary file', async () => {
    const names = JSON.stringify({ name: 'x'.repeat(1_200_000), names: {} });
    await put('own.placeholders.json', names);
    await put('y.machine.json', machine({ placeholders: 'own.placeholders.json' }));
    await start();
    expect(await messages('vocabulary-file', 'a.start.gcode')).toMatch(/cannot be read: it has 1\.2 MB/);
    expect(await messages('vocabulary-file', 'own.placeholders.json', names, 'bookend-placeholders')).toMatch(
      /^This file is not read: it has 1\.2 MB/,
    );
  });
});

describe('as many as there may be', () => {
  test('of 260 machine files in a folder 200 are looked at, and that is told', async () => {
    for (let i = 0; i < 260; i++) await put(`m${String(i).padStart(3, '0')}.machine.json`, machine({ name: `M${i}` }));
    await start();
    expect(await messages('machine-file', 'a.start.gcode')).toBe(
      '60 more machine files were not looked at, since at most 200 are; one of them may be meant.',
    );
    const { state, reason, known } = await statusOf('a.start.gcode');
    expect([state, known.length]).toEqual(['several', 200]);
    expect(reason).toMatch(
      /\(M0, M1, M2, M3, M4 and 195 more\): choose one\. .*60 more machine files were not looked at/,
    );
  });

  test('together up to 4 MB of text', async () => {
    for (let i = 0; i < 30; i++) await put(`m${i}.machine.json`, machine({ $schema: 'x'.repeat(900_000) }));
    await start();
    expect(await messages('machine-file', 'a.start.gcode')).toMatch(
      /^22 more machine files were not looked at, since those before them have more than 4 MB together/,
    );
  });

  test('a picked machine is used without a word of the others', async () => {
    for (let i = 0; i < 260; i++) await put(`m${String(i).padStart(3, '0')}.machine.json`, machine({ name: `M${i}` }));
    await start({ options: { picks: { [uriOf('a.start.gcode')]: uriOf('m250.machine.json') } } });
    expect(await messages('machine-file', 'a.start.gcode')).toBe('');
    expect((await statusOf('a.start.gcode')).current?.name).toBe('M250');
  });
});

describe('a workspace that is not trusted', () => {
  const NAMES = '{ "names": { "there": { "kind": "length", "range": [0, 9] } } }';
  const OUTSIDE =
    /lies outside this workspace, which is not trusted; trust the workspace, or put a copy of the file into it/;
  const untrusted: Options = { options: { trusted: false } };

  beforeEach(() => fs.writeFile(join(folder, 'far.placeholders.json'), NAMES));

  test.each(['../far.placeholders.json', 'sub/../../far.placeholders.json', 'ABSOLUTE', 'file:///…'])(
    'names a vocabulary outside of it as %s: not read, told in both files, and read once it is trusted',
    async (name) => {
      const absolute = join(folder, 'far.placeholders.json');
      const named = name === 'ABSOLUTE' ? absolute : name.startsWith('file:') ? pathToFileURL(absolute).href : name;
      const text = machine({ placeholders: named });
      await put('y.machine.json', text);
      await start(untrusted);
      expect(await messages('vocabulary-file', 'a.start.gcode')).toMatch(OUTSIDE);
      expect(await messages('vocabulary-file', 'y.machine.json', text, 'bookend-machine')).toMatch(OUTSIDE);
      expect(await messages('unknown-placeholder', 'b.start.gcode', 'G1 X{{ there }}\n')).not.toBe('');
      await client?.connection.sendNotification(TRUSTED);
      expect(await messages('vocabulary-file', 'c.start.gcode')).toBe('');
      expect(await messages('unknown-placeholder', 'd.start.gcode', 'G28\nG1 X{{ there }} F6000\n')).toBe('');
    },
  );

  test.runIf(process.platform !== 'win32')(
    'links out of it are not followed, of vocabularies and of machine files',
    async () => {
      await fs.symlink('../far.placeholders.json', join(shop, 'own.placeholders.json'));
      await put('y.machine.json', machine({ placeholders: 'own.placeholders.json' }));
      await fs.mkdir(join(shop, 'sub'));
      await fs.writeFile(join(folder, 'far.machine.json.txt'), machine());
      await fs.symlink(join(folder, 'far.machine.json.txt'), join(shop, 'sub/z.machine.json'));
      await start(untrusted);
      expect(await messages('vocabulary-file', 'a.start.gcode')).toMatch(OUTSIDE);
      expect(await messages('machine-file', 'sub/a.start.gcode')).toMatch(OUTSIDE);
      await client?.connection.sendNotification(TRUSTED);
      expect(await messages('vocabulary-file', 'b.start.gcode')).toBe('');
      expect(await messages('machine-file', 'sub/b.start.gcode')).toBe('');
    },
  );

  test('what lies in it, and beside a machine file above it, is read as ever', async () => {
    await fs.mkdir(join(shop, 'inner/deep'), { recursive: true });
    await fs.writeFile(join(shop, 'own.placeholders.json'), NAMES);
    await put('y.machine.json', machine({ placeholders: './own.placeholders.json' }));
    await start({ ...untrusted, folders: [pathToFileURL(join(shop, 'inner')).href] });
    expect(
      (await findings('inner/a.start.gcode', 'G28\nG1 X{{ there }} F6000\n')).map(({ code }) => code),
    ).not.toContain('unknown-placeholder');
    expect(await messages('machine-file', 'inner/b.start.gcode')).toBe('');
    expect(await messages('vocabulary-file', 'inner/c.start.gcode')).toBe('');
    expect((await statusOf('inner/a.start.gcode')).current?.name).toBe('Wagtail 204');
  });

  test('sequences that a machine lists outside of it are looked through once it is trusted', async () => {
    await fs.writeFile(join(folder, 'far.start.gcode'), TEXT);
    await put('own.placeholders.json', '{ "names": { "part.left": { "kind": "length", "range": [0, 9] } } }');
    const text = machine({
      sequences: { start: ['a.start.gcode', '../far.start.gcode'] },
      placeholders: 'own.placeholders.json',
    });
    await put('y.machine.json', text);
    const { connection } = await start(untrusted);
    await findings('a.start.gcode');
    const uses = () =>
      connection.sendRequest<{ uri: string }[]>('textDocument/references', {
        textDocument: { uri: uriOf('a.start.gcode') },
        position: { line: 3, character: 10 },
        context: { includeDeclaration: false },
      });
    const far = pathToFileURL(join(folder, 'far.start.gcode')).href;
    expect((await uses()).map(({ uri }) => uri)).not.toContain(far);
    expect(await messages('machine-file', 'y.machine.json', text, 'bookend-machine')).toMatch(
      /sequences\.start names “\.\.\/far\.start\.gcode”, which lies outside this workspace/,
    );
    await connection.sendNotification(TRUSTED);
    expect((await uses()).map(({ uri }) => uri)).toContain(far);
  });

  test('a machine that the person picked is read wherever it lies', async () => {
    await fs.writeFile(join(folder, 'far.machine.json'), machine({ name: 'Picked' }));
    const picks = { [uriOf('a.start.gcode')]: pathToFileURL(join(folder, 'far.machine.json')).href };
    await start({ options: { trusted: false, picks } });
    expect(await messages('machine-file', 'a.start.gcode')).toBe('');
    expect((await statusOf('a.start.gcode')).current?.name).toBe('Picked');
  });
});

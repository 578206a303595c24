import { createHash } from 'node:crypto';
import { afterEach, expect, test } from 'vitest';
import { CancellationTokenSource } from 'vscode-languageserver/node';
import { engine as bookend, type Engine } from '../../server/src/lsp/engine.ts';
import type { InspectedFiles } from '../../server/src/lsp/inspectedFiles.ts';
import {
  CHECK_JOB,
  type InspectedFileAnswer,
  type InspectedFileParams,
  type InspectionAnswer,
  type InspectionProgress,
  type InspectParams,
  JOB_FILE,
  JOB_PROGRESS,
} from '../../server/src/lsp/inspectionMessages.ts';
import { hasher, inflate } from '../../server/src/nodeFiles.ts';
import { sourceOf } from '../../server/src/packages/source.ts';
import { join, members, named, utf8, zip } from '../program/packages.ts';
import { type Client, type Options, startClient } from './client.ts';

// "Check this job…" over the real protocol, with a disk in memory: programs, packages, progress, cancel, writing out.

const HOME = 'file:///shop';
const JOB = `${HOME}/batch.gcode`;
const heron = `{
  "name": "Heron 228",
  "bed": { "shape": "rectangle", "left": 0, "right": 228, "front": 0, "back": 206 },
  "reach": { "left": -5, "right": 234, "front": -7, "back": 217, "bottom": 0, "top": 232 },
  "home": { "x": -5, "y": 217, "z": 0 },
  "heat": { "nozzle": { "max": 268, "minExtrude": 173 }, "bed": { "max": 98 } }
}
`;
const HEAD = 'G21\nG90\nM83\nG28\nM190 S57\nM109 S208\nM107\nG1 X24 Y27 Z0.24 F7200\n';
/** Squares that grow to the right, the last of them past the bed. */
const program = (moves = 40): string => {
  const rows: string[] = [];
  for (let i = 0; i < moves; i++) rows.push(`G1 X${24 + (i % 190)} Y${33 + (i % 7)} E0.06 F1380`);
  return `${HEAD}${rows.join('\n')}\nG1 X231 Y41 E2 F1380\nM104 S0\nM140 S0\nM84\n`;
};

let client: Client;
let disk: Map<string, Uint8Array>;
const written: string[] = [];

const memory: InspectedFiles = {
  async open(uri) {
    const bytes = disk.get(uri);
    if (!bytes) throw new Error(`${uri} cannot be read: it is not there.`);
    return { ...sourceOf(bytes), changed: async () => null, close: async () => {} };
  },
  async create(uri) {
    const parts: Uint8Array[] = [];
    written.push(`begin ${uri}`);
    return {
      write: async (bytes) => void parts.push(bytes.slice()),
      keep: async () => {
        written.push(`keep ${uri}`);
        disk.set(uri, Uint8Array.from(parts.flatMap((part) => [...part])));
      },
      drop: async () => void written.push(`drop ${uri}`),
    };
  },
};

/** A clock that runs so fast that others have their turn after each slice, however quick this machine is. */
const often = ((clock) => ({
  inflate,
  hasher,
  files: memory,
  now: () => {
    clock.time += 1000;
    return clock.time;
  },
  rest: () => new Promise<void>((resolve) => setTimeout(resolve, 2)),
}))({ time: 0 });

const start = async (files: Record<string, string | Uint8Array>, options: Options = {}) => {
  disk = new Map(Object.entries(files).map(([uri, held]) => [uri, typeof held === 'string' ? utf8(held) : held]));
  written.length = 0;
  client = await startClient({
    disk: new Map([[`${HOME}/heron.machine.json`, heron]]),
    folders: [HOME],
    jobs: { inflate, hasher, files: memory },
    ...options,
  });
};
afterEach(() => client.end());

const check = (
  params: Partial<InspectParams> = {},
  cancel = new CancellationTokenSource(),
): Promise<InspectionAnswer> =>
  client.connection.sendRequest(CHECK_JOB, { uri: JOB, token: 7, ...params }, cancel.token);
const report = (answer: InspectionAnswer) => {
  if (answer.kind !== 'report') throw new Error(JSON.stringify(answer));
  return answer;
};
const failure = (answer: InspectionAnswer): string =>
  answer.kind === 'failed' ? answer.message : JSON.stringify(answer);

test('a program: findings with their places, what it does, and the machine that it is checked on', async () => {
  await start({ [JOB]: program() }, { options: { docs: 'file:///docs' } });
  const { text, findings, errors, small, written: bytes } = report(await check());
  expect(small).toBe(true);
  expect(bytes).toBeNull();
  const off = findings.find(({ rule }) => rule === 'off-bed');
  // 8 rows of HEAD and 40 moves stand before the one that leaves the bed (228).
  expect(off).toMatchObject({ severity: 'error', line: 49, page: 'file:///docs/rules/off-bed.md' });
  expect(errors).toBe(findings.filter(({ severity }) => severity === 'error').length);
  expect(text).toContain('batch.gcode\nChecked as a whole program on Heron 228.');
  expect(text).toMatch(/error {2}off-bed: .*\n {2}line 49, column \d+: X 231/);
  expect(text).toMatch(/Size +52 lines/);
  expect(text).toMatch(/Extrudes within +X 24 to 231, Y 27 to 41, Z 0\.24 to 0\.24 \(mm\)/);
  expect(text).toMatch(/Highest set points +nozzle 208 °C, bed 57 °C/);
  expect(text).toMatch(/Filament +[\d.]+ mm of 1\.75 mm: 0\.\d+ g as PLA, 0\.\d+ g as PETG, 0\.\d+ g as ABS/);
});

test('a text that is no program: that is told first', async () => {
  await start({ [JOB]: 'Dear Ms Heron,\nI thank you for the 3 parts.\n' });
  const { text, findings } = report(await check());
  expect(findings[0]).toMatchObject({ rule: 'no-program', severity: 'error', line: 1, column: 1 });
  const words = 'This does not read like a program: 0 of 2 lines hold a command';
  expect(text.replace(/\n +/g, ' ')).toMatch(
    new RegExp(`remarks?\\.\\s+error +no-program +line 1, column 1: ${words}`),
  );
});

test('severities of the settings and of the machine file hold', async () => {
  const settings = () => ({ rules: { 'off-bed': 'off' } });
  await start({ [JOB]: program() }, { settings });
  const { text, findings } = report(await check());
  expect(findings.map(({ rule }) => rule)).not.toContain('off-bed');
  expect(text).not.toContain('off-bed');
});

test('a package: its entries, one of them checked, one taken out as it is checked', async () => {
  const packed = zip([
    { name: 'Metadata/note.xml', bytes: utf8('<?xml version="1.0"?><note/>') },
    { name: 'jobs/batch one.bin', bytes: utf8(program()) },
  ]);
  await start({ [JOB]: packed });
  const listed = await check();
  if (listed.kind !== 'package') throw new Error(JSON.stringify(listed));
  expect(listed.what).toBe('zip package');
  expect(listed.entries.map(({ name, program, proposed }) => [name, program, proposed])).toEqual([
    ['Metadata/note.xml', false, 'note.xml.gcode'],
    ['jobs/batch one.bin', true, 'batch one.bin.gcode'],
  ]);
  const entry = { index: 1, name: 'jobs/batch one.bin' };
  const checked = report(await check({ entry }));
  expect(checked.title).toContain('batch one.bin');
  expect(checked.findings.map(({ rule }) => rule)).toContain('off-bed');
  expect(written).toEqual([]);

  const target = 'file:///stick/batch.gcode';
  const taken = report(await check({ entry, target }));
  expect(taken.written).toBe(utf8(program()).length);
  expect(taken.text).toContain('Written out as it was checked');
  expect(new TextDecoder().decode(disk.get(target))).toBe(program());
  expect(written).toEqual([`begin ${target}`, `keep ${target}`, `drop ${target}`]);

  expect(failure(await check({ entry: { index: 0, name: 'jobs/batch one.bin' } }))).toContain('no longer');
});

test('gzip, and a package that goes by another name', async () => {
  await start({ [JOB]: named('batch.gcode', utf8(program())) });
  const listed = await check();
  if (listed.kind !== 'package') throw new Error(JSON.stringify(listed));
  expect(listed.what).toBe('gzip file');
  const checked = report(await check({ entry: { index: 0, name: listed.entries[0]?.name ?? '?' } }));
  expect(checked.findings.map(({ rule }) => rule)).toContain('off-bed');
});

test('a damaged entry is not kept, and says why', async () => {
  // More than what is looked into for the list.
  const bytes = utf8(program(4000));
  await start({ [JOB]: zip([{ name: 'a.gcode', bytes, lies: { crc: 1 } }]) });
  const target = 'file:///stick/a.gcode';
  expect(failure(await check({ entry: { index: 0, name: 'a.gcode' }, target }))).toMatch(/CRC-32/);
  expect(written).toEqual([`begin ${target}`, `drop ${target}`]);
  expect(disk.has(target)).toBe(false);
});

test('the limits of the settings hold', async () => {
  const packed = zip([
    { name: 'a.gcode', bytes: utf8(program(4000)) },
    { name: 'b.gcode', bytes: utf8(program()) },
  ]);
  await start({ [JOB]: packed }, { settings: () => ({ packages: { mostEntries: 1 } }) });
  expect(failure(await check())).toMatch(
    /2 entries, more than the 1 .* raise the setting bookend\.packages\.mostEntries\./,
  );
  await client.end();
  await start({ [JOB]: packed }, { settings: () => ({ packages: { largestEntry: 0.00002 } }) });
  const listed = await check();
  if (listed.kind !== 'package') throw new Error(JSON.stringify(listed));
  expect(listed.entries.map(({ problem }) => problem)).toEqual([
    expect.stringContaining('raise the setting bookend.packages.largestEntry.'),
    null,
  ]);
});

test('the limit of the settings on the members of a gzip file holds', async () => {
  await start(
    { [JOB]: join(members(utf8(program())), members(utf8(program()))) },
    {
      settings: () => ({ packages: { mostMembers: 1 } }),
    },
  );
  expect(failure(await check())).toMatch(/more than 1 members .* raise the setting bookend\.packages\.mostMembers\./);
});

const sha256 = (bytes: string | Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

test('a checksum beside a program, beside a package and in it is compared', async () => {
  const bytes = utf8(program());
  const packed = zip([
    { name: 'a/batch.gcode', bytes },
    { name: 'a/batch.gcode.sha256', bytes: utf8(`${sha256(bytes)}  batch.gcode\n`) },
  ]);
  const entry = { index: 0, name: 'a/batch.gcode' };
  const pack = `${HOME}/batch.job`;
  await start({ [JOB]: bytes, [`${JOB}.sha256`]: sha256(bytes), [pack]: packed, [`${pack}.sha256`]: sha256(packed) });
  expect(report(await check()).text).toContain('batch.gcode has the sha256 that batch.gcode.sha256 gives.');
  const { text } = report(await check({ uri: pack, entry }));
  expect(text).toContain('batch.job has the sha256 that batch.job.sha256 gives.');
  expect(text).toContain('The entry “a/batch.gcode” has the sha256 that a/batch.gcode.sha256 gives.');

  const target = 'file:///stick/batch.gcode';
  disk.set(`${JOB}.sha256`, utf8(sha256('something else')));
  expect(failure(await check({ target }))).toContain('batch.gcode is not what "batch.gcode.sha256" was made for');
  expect(written).toEqual([`begin ${target}`, `drop ${target}`]);
  disk.set(`${pack}.sha256`, utf8('no sum\n'));
  expect(failure(await check({ uri: pack, entry }))).toContain('holds no sha256 sum');
});

test.each([
  ['nothing', '', /empty/],
  ['bytes', Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) % 256), /neither text nor a package/],
])('%s: a sentence', async (_name, held, expected) => {
  await start({ [JOB]: held });
  expect(failure(await check())).toMatch(expected);
});

test('a file that is gone: a sentence, and the session goes on', async () => {
  await start({});
  expect(failure(await check())).toContain('not there');
  client.open(`${HOME}/a.start.gcode`, 'G28\n');
  expect((await client.until(`${HOME}/a.start.gcode`, () => true)).uri).toContain('a.start');
});

test('progress is told on the way, and a cancel ends it with nothing left behind', async () => {
  await start({ [JOB]: zip([{ name: 'a.gcode', bytes: utf8(program(200_000)) }]) }, { jobs: often });
  const told: InspectionProgress[] = [];
  const cancel = new CancellationTokenSource();
  client.connection.onNotification(JOB_PROGRESS, (progress: InspectionProgress) => {
    told.push(progress);
    if (progress.done > 0) cancel.cancel();
  });
  const target = 'file:///stick/a.gcode';
  const answer = await check({ entry: { index: 0, name: 'a.gcode' }, target, token: 42 }, cancel);
  expect(answer).toEqual({ kind: 'cancelled' });
  expect(told.length).toBeGreaterThan(0);
  for (const { token, done, total } of told) {
    expect(token).toBe(42);
    expect(done).toBeLessThan(total ?? 0);
  }
  expect(written).toEqual([`begin ${target}`, `drop ${target}`]);
});

test('typing is answered while a long program is checked in the session', async () => {
  await start({ [JOB]: program(200_000) }, { jobs: often });
  const long = check();
  let ended = false;
  long.then(() => {
    ended = true;
  });
  const uri = `${HOME}/a.start.gcode`;
  client.open(uri, 'G28\nM104 S300\n');
  await client.until(uri, ({ diagnostics }) => diagnostics.some(({ code }) => code === 'too-hot'));
  expect(ended).toBe(false);
  report(await long);
});

test('other schemes are read and written by the client, in slices', async () => {
  await start({});
  const text = utf8(program());
  const asked: string[] = [];
  let made: Uint8Array[] = [];
  client.connection.onRequest(JOB_FILE, async (params: InspectedFileParams): Promise<InspectedFileAnswer> => {
    asked.push(params.do);
    if (params.do === 'open' && !params.uri.endsWith('.gcode')) return { ok: false, message: 'It is not there.' };
    if (params.do === 'open') return { ok: true, id: 3, size: text.length };
    if (params.do === 'create') return { ok: true, id: 4 };
    if (params.do === 'read') {
      const slice = text.subarray(params.offset, params.offset + params.length);
      return { ok: true, bytes: Buffer.from(slice).toString('base64') };
    }
    if (params.do === 'write') made = [...made, Buffer.from(params.bytes, 'base64')];
    return { ok: true };
  });
  const { findings } = report(
    await check({
      uri: 'memory:/demo/batch.gcode',
      target: 'memory:/demo/copy.gcode',
      machine: `${HOME}/heron.machine.json`,
    }),
  );
  expect(findings.length).toBeGreaterThan(0);
  expect(asked[0]).toBe('open');
  expect(asked.slice(-3)).toEqual(['keep', 'close', 'close']); // the new file, then the one that was read
  expect(Buffer.concat(made).equals(Buffer.from(text))).toBe(true);
});

test('ending the session ends a check first', async () => {
  await start({ [JOB]: zip([{ name: 'a.gcode', bytes: utf8(program(200_000)) }]) }, { jobs: often });
  const target = 'file:///stick/a.gcode';
  const begun = new Promise<void>((resolve) => client.connection.onNotification(JOB_PROGRESS, () => resolve()));
  const answer = check({ entry: { index: 0, name: 'a.gcode' }, target });
  await begun;
  await client.connection.sendRequest('shutdown');
  expect(await answer).toEqual({ kind: 'cancelled' });
  expect(written.at(-1)).toBe(`drop ${target}`);
});

test('a text above the limit of the settings: nothing is analysed for it, whatever is asked', async () => {
  let analysed = 0;
  const engine = {
    ...bookend,
    analyze: (...all: Parameters<Engine['analyze']>) => {
      analysed++;
      return bookend.analyze(...all);
    },
  };
  await start({}, { engine, settings: () => ({ largestFile: 0.1 }), pull: true });
  client.open(JOB, program(10_000));
  const position = { line: 9, character: 4 };
  const range = { start: { line: 0, character: 0 }, end: position };
  const textDocument = { uri: JOB };
  const ask = (method: string, more: object = {}) =>
    client.connection.sendRequest<unknown>(`textDocument/${method}`, { textDocument, ...more });
  expect(await ask('semanticTokens/full')).toEqual({ data: [] });
  expect(await ask('semanticTokens/range', { range })).toEqual({ data: [] });
  for (const [method, more] of [
    ['foldingRange', {}],
    ['documentSymbol', {}],
    ['documentHighlight', { position }],
    ['codeAction', { range, context: { diagnostics: [] } }],
    ['formatting', { options: {} }],
    ['rangeFormatting', { range, options: {} }],
    ['selectionRange', { positions: [position] }],
    ['hover', { position }],
    ['completion', { position }],
    ['signatureHelp', { position }],
  ] as const) {
    const answer = await ask(method, more);
    expect(Array.isArray(answer) ? answer : (answer ?? []), method).toEqual([]);
  }
  expect(await client.pull(JOB)).toEqual([]);
  client.edit(JOB, 2, { start: position, end: position }, '0');
  expect(await client.pull(JOB)).toEqual([]);
  expect(analysed).toBe(0);
});

test('no machine belongs to it and several are known: the person is asked, and the answer holds', async () => {
  const stick = 'file:///stick/batch.gcode';
  await start({ [stick]: program() });
  const question = await check({ uri: stick });
  if (question.kind !== 'machine') throw new Error(JSON.stringify(question));
  expect(question.known.map(({ name }) => name)).toEqual(['Heron 228']);
  const none = report(await check({ uri: stick, machine: null }));
  expect(none.text).toContain('without a machine');
  expect(none.findings.map(({ rule }) => rule)).not.toContain('off-bed');
  const heron = report(await check({ uri: stick, machine: question.known[0]?.uri ?? '' }));
  expect(heron.findings.map(({ rule }) => rule)).toContain('off-bed');
  // It is not asked again.
  expect((await check({ uri: stick })).kind).toBe('report');
});

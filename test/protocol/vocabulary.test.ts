import { afterEach, expect, test } from 'vitest';
import type { Hover } from 'vscode-languageserver';
import { DRAFT_PLACEHOLDERS } from '../../server/src/lsp/messages.ts';
import { type Client, type Options, startClient } from './client.ts';

// Vocabulary files over the real protocol, in memory.

const HOME = 'file:///shop';
const START = `${HOME}/warm.start.gcode`;
const NAMES = `${HOME}/own.placeholders.json`;
const MACHINE = `${HOME}/heron.machine.json`;
const heron = (more: object = {}) =>
  JSON.stringify({
    name: 'Heron 228',
    bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
    reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
    heat: { nozzle: { max: 268 } },
    ...more,
  });
const own = (range: unknown = [0, 200]) =>
  JSON.stringify({ delimiters: [['«', '»']], names: { west: { kind: 'length', range } } });
const text = 'G21\nG90\nM83\nG28\nG1 X«west» F6000\n';
const codes = (items: readonly { code?: unknown }[]) => items.map(({ code }) => code);

let client: Client;
const start = async (disk: Record<string, string>, options: Options = {}) => {
  client = await startClient({ disk: new Map(Object.entries(disk)), folders: [HOME], pull: true, ...options });
  return client;
};
afterEach(async () => client.end());

test('the only vocabulary file in the folder is used', async () => {
  const { open, pull } = await start({ [MACHINE]: heron(), [NAMES]: own() });
  open(START, text);
  expect(codes(await pull(START))).not.toContain('unknown-placeholder');
  expect(codes(await pull(START))).not.toContain('beyond-reach');
});

test('the one that the machine file names wins, and its ranges count', async () => {
  const { open, pull } = await start({
    [MACHINE]: heron({ placeholders: './far/x.placeholders.json' }),
    [NAMES]: '{}',
    [`${HOME}/far/x.placeholders.json`]: own([0, 300]),
  });
  open(START, text);
  const found = await pull(START);
  expect(codes(found)).toContain('beyond-reach');
  expect(found.find(({ code }) => code === 'beyond-reach')?.message).toMatch(/300/);
});

test('while one is edited, what depends on it is checked by the text in the editor, then by the disk again', async () => {
  const { open, edit, close, pull, counts, untilTrue } = await start({ [MACHINE]: heron(), [NAMES]: own() });
  open(START, text);
  expect(codes(await pull(START))).not.toContain('beyond-reach');
  open(NAMES, own(), 'bookend-placeholders');
  await untilTrue(() => counts.refreshed > 0);
  let before = counts.refreshed;
  edit(NAMES, 2, null, own([0, 300]));
  await untilTrue(() => counts.refreshed > before);
  expect(codes(await pull(START))).toContain('beyond-reach');
  before = counts.refreshed;
  close(NAMES);
  await untilTrue(() => counts.refreshed > before);
  expect(codes(await pull(START))).not.toContain('beyond-reach');
});

test('a changed file on disk is noticed, and one that goes', async () => {
  const disk = new Map([
    [MACHINE, heron()],
    [NAMES, own()],
  ]);
  const { open, pull, watched, registered, counts, untilTrue } = await start({}, { disk });
  await untilTrue(() => registered.length > 1);
  expect(registered.join('\n')).toContain('**/*.placeholders.json');
  open(START, text);
  expect(codes(await pull(START))).not.toContain('beyond-reach');
  disk.set(NAMES, own([0, 300]));
  let before = counts.refreshed;
  watched(NAMES, 2);
  await untilTrue(() => counts.refreshed > before);
  expect(codes(await pull(START))).toContain('beyond-reach');
  disk.delete(NAMES);
  before = counts.refreshed;
  watched(NAMES, 3);
  await untilTrue(() => counts.refreshed > before);
  // Without the file « and » are no delimiters.
  expect(codes(await pull(START))).not.toContain('beyond-reach');
});

test('a missing one is a finding where it is named, and a note in the sequence', async () => {
  const disk = new Map([[MACHINE, heron({ placeholders: './gone.placeholders.json' })]]);
  const { open, pull, watched, counts, untilTrue } = await start({}, { disk });
  const machine = disk.get(MACHINE) ?? '';
  open(MACHINE, machine, 'bookend-machine');
  open(START, text);
  const at = machine.indexOf('"./gone.placeholders.json"');
  expect(await pull(MACHINE)).toMatchObject([
    { code: 'vocabulary-file', severity: 1, range: { start: { line: 0, character: at } } },
  ]);
  expect((await pull(START))[0]).toMatchObject({ code: 'vocabulary-file', severity: 2, range: { start: { line: 0 } } });
  const before = counts.refreshed;
  disk.set(`${HOME}/gone.placeholders.json`, own());
  watched(`${HOME}/gone.placeholders.json`, 1);
  await untilTrue(() => counts.refreshed > before);
  expect(await pull(MACHINE)).toEqual([]);
  expect(codes(await pull(START))).not.toContain('vocabulary-file');
});

test('a range that is upside down on the machine is told where the file is named', async () => {
  const machine = heron({ placeholders: './own.placeholders.json' });
  const { open, pull } = await start({ [MACHINE]: machine, [NAMES]: own([300, 'reach.top']) });
  open(MACHINE, machine, 'bookend-machine');
  expect((await pull(MACHINE)).map(({ message }) => message).join()).toMatch(
    /would begin at 300, above its end at 232/,
  );
});

test('what is wrong in the file itself is a finding there', async () => {
  const { open, pull } = await start({});
  open(NAMES, '{"names": {"a": {"range": [5, 2]}}}', 'bookend-placeholders');
  expect(await pull(NAMES)).toMatchObject([{ code: 'vocabulary-file', range: { start: { line: 0, character: 26 } } }]);
});

test('several that nothing decides between are told', async () => {
  const { open, pull } = await start({ [MACHINE]: heron(), [NAMES]: own(), [`${HOME}/b.placeholders.json`]: own() });
  open(START, text);
  const [first] = await pull(START);
  expect(first?.message).toMatch(/b\.placeholders\.json, own\.placeholders\.json/);
});

test('hover and completion know its names inside its delimiters', async () => {
  const { open, connection } = await start({ [MACHINE]: heron(), [NAMES]: own() });
  open(START, text);
  const at = { textDocument: { uri: START }, position: { line: 4, character: 6 } };
  const hover = await connection.sendRequest<Hover>('textDocument/hover', at);
  expect(JSON.stringify(hover.contents)).toContain('west');
  const items = await connection.sendRequest<{ label: string; textEdit: { newText: string } }[]>(
    'textDocument/completion',
    at,
  );
  expect(items.map(({ label }) => label)).toContain('west');
  expect(items.map(({ label }) => label)).not.toContain('part.top');
  expect(items.find(({ label }) => label === 'west')?.textEdit.newText.trim()).toBe('west');
});

test('a draft is made from the text in the editor', async () => {
  const { open, connection } = await start({ [MACHINE]: heron() });
  open(START, text);
  const draft = await connection.sendRequest<string>(DRAFT_PLACEHOLDERS, { uri: START });
  expect(draft).toContain('"delimiters": [["«", "»"]]');
  expect(draft).toContain('"west": { "kind": "length", "range": ["reach.left", "reach.right"]');
  expect(await connection.sendRequest(DRAFT_PLACEHOLDERS, { uri: 'file:///shop/none.gcode' })).toBeNull();
});

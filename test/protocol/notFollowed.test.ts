import { afterEach, expect, test } from 'vitest';
import { type Client, startClient } from './client.ts';

// What a placeholder language has and Bookend cannot follow: told in the vocabulary file while its texts are open, and
// nowhere else.

const HOME = 'file:///barn';
const START = `${HOME}/warm.start.gcode`;
const END = `${HOME}/cool.end.gcode`;
const NAMES = `${HOME}/own.placeholders.json`;
const MACHINE = `${HOME}/dunlin.machine.json`;
const machine = JSON.stringify({
  name: 'Dunlin 204',
  bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
  heat: { nozzle: { max: 262 } },
});
const own = (functions: object = { lesser: 'min' }) =>
  JSON.stringify({
    delimiters: [['«', '»']],
    expressions: { functions },
    names: { tip: { kind: 'temperature', range: [180, 250] } },
  });
const text = 'G21\nG90\nM83\nG28\nM109 S«guess(tip)»\nG92 E0\n';

let client: Client;
afterEach(async () => client.end());
const start = async () => {
  const disk = new Map([
    [MACHINE, machine],
    [NAMES, own()],
  ]);
  client = await startClient({ disk, folders: [HOME], pull: true });
  return client;
};
const told = async (uri: string): Promise<string[]> =>
  (await client.pull(uri)).map(({ message }) => String(message)).filter((message) => /guess/.test(message));

test('is told in the vocabulary file once, however many texts have it, and in no text', async () => {
  const { open, untilTrue, counts, pull } = await start();
  open(NAMES, own(), 'bookend-placeholders');
  expect(await told(NAMES)).toEqual([]);
  const before = counts.refreshed;
  open(START, text);
  expect(await told(START)).toEqual([]);
  await untilTrue(() => counts.refreshed > before);
  expect(await told(NAMES)).toHaveLength(1);
  open(END, 'M104 S0\nM140 S«guess(tip)»\n');
  await pull(END);
  const [only, more] = (await pull(NAMES)).filter(({ message }) => /guess/.test(String(message)));
  expect(more).toBeUndefined();
  expect(only).toMatchObject({ code: 'vocabulary-file', severity: 3 });
  expect(only?.message).toMatch(/call the function “guess”, which is not declared[\s\S]*expressions\.functions/);
  const at = own().indexOf('"functions"');
  expect(only?.range.start).toEqual({ line: 0, character: at });
});

test('goes once the vocabulary declares it, or the text is closed', async () => {
  const { open, edit, close, untilTrue, counts, pull } = await start();
  open(NAMES, own(), 'bookend-placeholders');
  open(START, text);
  await pull(START);
  expect(await told(NAMES)).toHaveLength(1);
  edit(NAMES, 2, null, own({ lesser: 'min', guess: { gives: 'number' } }));
  await pull(START);
  expect(await told(NAMES)).toEqual([]);
  edit(NAMES, 3, null, own());
  await pull(START);
  expect(await told(NAMES)).toHaveLength(1);
  const before = counts.refreshed;
  close(START);
  await untilTrue(() => counts.refreshed > before);
  expect(await told(NAMES)).toEqual([]);
});

test('a client to which findings are pushed gets it without asking', async () => {
  const disk = new Map([
    [MACHINE, machine],
    [NAMES, own()],
  ]);
  client = await startClient({ disk, folders: [HOME] });
  client.open(NAMES, own(), 'bookend-placeholders');
  client.open(START, text);
  const { diagnostics } = await client.until(NAMES, (latest) =>
    latest.diagnostics.some(({ message }) => /guess/.test(String(message))),
  );
  expect(diagnostics).toHaveLength(1);
});

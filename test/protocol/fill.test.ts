import { afterEach, describe, expect, test } from 'vitest';
import { FILL, type FillParams, type FillResult } from '../../server/src/lsp/messages.ts';
import { type Client, startClient } from './client.ts';

// A sequence filled in for the side document, over the real protocol, in memory.

const HOME = 'file:///shop';
const START = `${HOME}/warm.start.gcode`;
const heron = (more: object = {}) =>
  JSON.stringify({
    name: 'Heron 228',
    bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
    tools: 2,
    ...more,
  });
const TEXT = 'G28\n{{#tools}}\nM104 T{{ number }} S{{ temperature.first }}\n{{/tools}}\nG1 X{{ bed.right }}\n';

let client: Client;
const start = async (disk = new Map([[`${HOME}/heron.machine.json`, heron()]])) => {
  client = await startClient({ disk, folders: [HOME] });
  return client;
};
const fill = (params: FillParams) => client.connection.sendRequest<FillResult | null>(FILL, params);
afterEach(async () => client.end());

test('a finding about a tag carries the place of its partner', async () => {
  const { open, until } = await start();
  open(START, '{{# tools }}\n{{# heat.bed.first }}\n{{/ tools }}\n{{/ heat.bed.first }}\n');
  const { diagnostics } = await until(START, () => true);
  const crossed = diagnostics.find(({ code }) => code === 'unclosed-placeholder');
  expect(crossed?.range.start.line).toBe(3);
  expect(
    crossed?.relatedInformation?.map(({ location, message }) => [location.uri, location.range.start.line, message]),
  ).toEqual([
    [START, 1, 'The inner section is opened here.'],
    [START, 2, 'The section around it is closed here.'],
  ]);
});

describe(FILL, () => {
  test('gives the text with the usual job, and for each row the one that it comes from', async () => {
    const { open } = await start();
    open(START, TEXT);
    expect(await fill({ uri: START })).toEqual({
      text: 'G28\nM104 T0 S215\nG1 X228\n',
      version: 1,
      rows: [0, 2, 4, 5],
      problems: [],
    });
  });

  test('takes a job: how many elements a list has, the witness of a finding', async () => {
    const { open } = await start();
    open(START, TEXT);
    const filled = await fill({ uri: START, job: { tools: 2, 'tools[].temperature.first': 260 } });
    expect(filled?.text).toBe('G28\nM104 T0 S260\nM104 T1 S260\nG1 X228\n');
    expect(filled?.rows).toEqual([0, 2, 2, 4, 5]);
  });

  test('follows edits, and tells what has no value', async () => {
    const { open, edit } = await start();
    open(START, TEXT);
    edit(START, 2, null, 'G28\r\nM140 S{{ heat.bed.frist }}');
    const filled = await fill({ uri: START });
    expect(filled).toMatchObject({ text: 'G28\r\nM140 S', version: 2 });
    expect(filled?.problems).toEqual([
      { line: 1, character: 9, message: expect.stringContaining('Did you mean heat.bed.first?') },
    ]);
  });

  test('the machine’s own values follow the machine file', async () => {
    const { open, edit } = await start();
    open(START, TEXT);
    open(`${HOME}/heron.machine.json`, heron(), 'bookend-machine');
    edit(
      `${HOME}/heron.machine.json`,
      2,
      null,
      heron({ bed: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 87 } }),
    );
    expect((await fill({ uri: START }))?.text).toContain('G1 X87\n');
  });

  test('null for what is no open sequence; a job that is none is the usual one', async () => {
    const { open } = await start();
    expect(await fill({ uri: START })).toBeNull();
    open(`${HOME}/heron.machine.json`, heron(), 'bookend-machine');
    expect(await fill({ uri: `${HOME}/heron.machine.json` })).toBeNull();
    open(START, TEXT);
    // @ts-expect-error: a client that does not keep to the types
    expect((await fill({ uri: START, job: 'none' }))?.text).toContain('T0 S215');
  });
});

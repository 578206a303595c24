import { afterEach, expect, test } from 'vitest';
import { LARGE } from '../../server/src/lsp/sparing.ts';
import { type Client, startClient } from './client.ts';

// While a large text is open the host is told to be sparing with memory, and no longer.

let client: Client;
afterEach(() => client.end());

test('the host is told once when the first large text comes, and once when the last one has gone', async () => {
  const told: boolean[] = [];
  client = await startClient({ spareMemory: (on) => void told.push(on) });
  const [one, two, short] = ['one', 'two', 'short'].map((name) => `file:///barn/${name}.start.gcode`) as [
    string,
    string,
    string,
  ];
  const large = `G28\n${'; a long remark\n'.repeat(LARGE / 16)}`;
  client.open(short, 'G28\n');
  await client.until(short, () => true);
  expect(told).toEqual([]);
  client.open(one, large);
  client.open(two, 'G28\n');
  await client.until(two, () => true);
  expect(told).toEqual([true]);
  // It grows, one byte below the bound and then above it; the other goes away.
  client.edit(two, 2, null, 'x'.repeat(LARGE));
  client.edit(two, 3, null, large);
  client.close(one);
  client.edit(short, 2, null, 'G28\nG21\n');
  await client.until(short, ({ version }) => version === 2);
  expect(told).toEqual([true]);
  client.edit(two, 4, null, 'x'.repeat(LARGE));
  client.edit(short, 3, null, 'G28\n');
  await client.until(short, ({ version }) => version === 3);
  expect(told).toEqual([true, false]);
  client.open(one, large);
  client.close(one);
  client.edit(short, 4, null, 'G21\n');
  await client.until(short, ({ version }) => version === 4);
  expect(told).toEqual([true, false, true, false]);
});

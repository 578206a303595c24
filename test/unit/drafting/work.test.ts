import { expect, it } from 'vitest';
import { countWork, grownBeyond } from '../../work/counting.ts';
import { draftOf } from './support.ts';

// No clock: how often each stretch of code runs, for a text and for one of twice the length.

const mixed = (n: number): string =>
  Array.from(
    { length: n },
    (_, i) =>
      `M140 S«slab»\n«when hot > ${i} and not quick»\nM104 S«tip - ${i % 50}»\n«otherwise»\nG1 X«west» ; «who» ${i}\n«done»\n«tips[${i % 3}]»\n`,
  ).join('');

it.each<readonly [string, (n: number) => string]>([
  ['a text with all of it', mixed],
  ['half written tags', (n) => '{ [ < « % { a\n'.repeat(n)],
  ['tags in one line', (n) => `G1 X${'{a}'.repeat(n)}\n`],
  ['unknown words that balance in no way', (n) => 'M140 S«slab»\n«foo bar»\n«baz»\n«qux a»\n'.repeat(n)],
  ['as many names as there are lines', (n) => Array.from({ length: n }, (_, i) => `M140 S«slab${i}»\n`).join('')],
  ['sections in sections', (n) => `${'«when warm»\n'.repeat(n)}M140 S«slab»\n${'«done»\n'.repeat(n)}`],
  ['lone returns', (n) => 'M140 S{slab}\r'.repeat(n)],
])('the work for %s grows as it does', async (_, textOf) => {
  const work = (n: number) => countWork(() => draftOf(textOf(n)));
  await work(20); // what is made once
  expect(grownBeyond(await work(300), await work(600))).toEqual([]);
});

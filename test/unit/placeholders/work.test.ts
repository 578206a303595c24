import { describe, expect, it } from 'vitest';
import { fill } from '../../../server/src/placeholders/fill.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { countWork, grownBeyond } from '../../work/counting.ts';

// How the work of filling in and of checking sections grows: as the text does, however deep.

const JOB = { hot: true, cold: false, tools: [{ number: 0 }, { number: 1 }], 'part.left': 12.5, 'heat.bed.first': 60 };
const vocabulary = vocabularyFor(null);

/** What ran more often than it may, of `run` with `n` and with twice as many. */
async function grown(n: number, run: (n: number) => unknown): Promise<string[]> {
  await countWork(() => run(10)); // what is made once
  return grownBeyond(await countWork(() => run(n)), await countWork(() => run(2 * n)));
}

describe('the work grows as the text does', () => {
  it.each([
    ['{{#hot}}', '{{/hot}}'],
    ['{{#tools.length}}', '{{/tools.length}}'],
    ['{{^cold}}\n', '\n{{/}}\n'],
    ['{{# ', ''],
    ['{{#hot}}', ''],
    ['', '{{/hot}}'],
  ])('of filling in nested %j and %j', async (open, close) => {
    expect(await grown(1000, (n) => fill(`${open.repeat(n)}x${close.repeat(n)}`, JOB))).toEqual([]);
  });

  it('of filling in a long text', async () => {
    const piece = '{{#hot}}\nG1 X{{ part.left + 1 }} Y{{heat.bed.first}}\n{{/hot}}\n{{^hot}}a{{/}}\n';
    expect(await grown(500, (n) => fill(piece.repeat(n), JOB))).toEqual([]);
  });

  it.each(['\n', ''])('of checking sections over lists, nested with %j between', async (between) => {
    const text = (n: number) => `${`{{#tools}}${between}`.repeat(n)}T{{number}}${`${between}{{/tools}}`.repeat(n)}`;
    expect(await grown(500, (n) => analyze(text(n), 'start', null, vocabulary))).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import type { Job } from '../../../server/src/placeholders/vocabulary.ts';
import { tagStyleOf } from '../../../server/src/placeholders/vocabulary.ts';
import { prepare } from '../../../server/src/service/analyze.ts';
import { simulate } from '../../../server/src/simulate/simulate.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const { vocabulary: file } = readVocabulary(
  JSON.stringify({
    delimiters: [['«', '»']],
    keywords: { if: 'when', elseIf: 'or when', else: 'otherwise', end: 'done' },
    names: {
      a: { kind: 'flag' },
      n: { kind: 'number', range: [0, 10], sample: 5 },
      jars: { kind: 'list', range: [0, 3], sample: 2 },
    },
  }),
);
const vocabulary = vocabularyFor(null, file);
const mustache = { ...vocabulary, language: undefined };

/** Where X is at the end: for all jobs, or for one. */
function x(text: string, job?: Record<string, number | boolean>, names: typeof vocabulary = vocabulary) {
  const prepared = prepare(`G21\nG90\nG28\nG1 X100 F600\n${text}\n`, 'start', null, tagStyleOf(names));
  const given: Job = new Map(Object.entries(job ?? {}));
  const at = simulate(prepared, job ? jobEnv(names, given) : boundsEnv(names)).end.at.x;
  return at && [at.lo, at.hi];
}

const CHAIN = '«when a»\nG1 X1\n«or when n > 7»\nG1 X2\n«otherwise»\nG1 X3\n«done»';
const ONE_ROW = 'G1 X«when a»1«or when n > 7»2«otherwise»3«done»';
const WORDS = 'G1 «when a»X1«or when n > 7»X2«otherwise»X3«done»';

describe('a chain of branches', () => {
  it.each([
    ['on rows', CHAIN],
    ['in a value', ONE_ROW],
    ['around words', WORDS],
  ])('%s: a job gets exactly one of them, and over all jobs one of them is always there', (_, text) => {
    expect(x(text, { a: true, n: 9 })).toEqual([1, 1]);
    expect(x(text, { a: true, n: 1 })).toEqual([1, 1]);
    expect(x(text, { a: false, n: 9 })).toEqual([2, 2]);
    expect(x(text, { a: false, n: 7 })).toEqual([3, 3]);
    // Not 100: with an otherwise, X never stays where it was.
    expect(x(text)).toEqual([1, 3]);
  });

  it('without an otherwise nothing may happen', () => {
    expect(x('«when a»\nG1 X1\n«or when n > 7»\nG1 X2\n«done»')).toEqual([1, 100]);
    expect(x('«when a»\nG1 X1\n«or when n > 7»\nG1 X2\n«done»', { a: false, n: 1 })).toEqual([100, 100]);
  });

  it('a branch behind one that always holds is never there', () => {
    expect(x('«when n >= 0»\nG1 X1\n«otherwise»\nG1 X900\n«done»')).toEqual([1, 1]);
    expect(x('G1 X50\n«when n > 20»\nG1 X900\n«or when n <= 10»\nG1 X2\n«otherwise»\nG1 X900\n«done»')).toEqual([2, 2]);
  });

  it('an empty branch counts as one', () => {
    expect(x('«when a»\n«otherwise»\nG1 X3\n«done»', { a: true })).toEqual([100, 100]);
    expect(x('«when a»\n«otherwise»\nG1 X3\n«done»', { a: false })).toEqual([3, 3]);
    expect(x('«when a»\nG1 X1\n«or when n > 7»\n«otherwise»\nG1 X3\n«done»', { a: false, n: 9 })).toEqual([100, 100]);
  });

  it('a branch whose command stands on the row of its tag belongs to it', () => {
    const text = '«when a»\nG1 X1\n«otherwise»G1 X3\n«done»';
    expect(x(text, { a: true })).toEqual([1, 1]);
    expect(x(text, { a: false })).toEqual([3, 3]);
  });

  it('what earlier branches ruled out is known further down', () => {
    // n is at most 4 where the last branch runs.
    expect(x('«when n > 4»\nG1 X1\n«otherwise»\nG1 X«n»\n«done»')).toEqual([0, expect.closeTo(4, 6)]);
  });

  it('a keyword asks whether there is something in a list, and does not repeat', () => {
    expect(x('G91\n«when jars»\nG1 X10\n«done»', { jars: 3 })).toEqual([110, 110]);
    expect(x('G91\n«when jars»\nG1 X10\n«done»', { jars: 0 })).toEqual([100, 100]);
  });

  it('nests', () => {
    const text = `«when n > 5»\n${CHAIN}\n«otherwise»\nG1 X50\n«done»`;
    expect(x(text, { a: false, n: 9 })).toEqual([2, 2]);
    expect(x(text, { a: false, n: 6 })).toEqual([3, 3]);
    expect(x(text, { a: false, n: 2 })).toEqual([50, 50]);
  });
});

describe('a Mustache section and its opposite behind it', () => {
  it('are one either-or, in either order', () => {
    for (const text of [
      '{{#a}}\nG1 X1\n{{/a}}\n{{^a}}\nG1 X2\n{{/a}}',
      '{{^a}}\nG1 X2\n{{/a}}\n{{#a}}\nG1 X1\n{{/a}}',
    ]) {
      expect(x(text, undefined, mustache)).toEqual([1, 2]);
      expect(x(text, { a: true }, mustache)).toEqual([1, 1]);
      expect(x(text, { a: false }, mustache)).toEqual([2, 2]);
    }
  });

  it('of a list: repeated, or once where it is empty, in either order', () => {
    const some = '{{#jars}}\nG1 X10\n{{/jars}}';
    const none = '{{^jars}}\nG1 X1\n{{/jars}}';
    for (const text of [`G91\n${some}\n${none}`, `G91\n${none}\n${some}`]) {
      expect(x(text, { jars: 3 }, mustache)).toEqual([130, 130]);
      expect(x(text, { jars: 0 }, mustache)).toEqual([101, 101]);
      expect(x(text, undefined, mustache)).toEqual([101, 130]);
    }
  });
});

it('200 branches, and 200 conditions, take work that grows with their number only', () => {
  const steps = (n: number): number => {
    let asked = 0;
    const text = `«when n > 1»\n${Array.from({ length: n }, (_, i) => `«or when n > ${i}»\nG1 X${i}`).join('\n')}\n«done»`;
    const prepared = prepare(`G28\n${text}`, 'start', null, tagStyleOf(vocabulary));
    const env = boundsEnv(vocabulary);
    simulate(prepared, (name) => {
      asked++;
      return env(name);
    });
    return asked;
  };
  expect(steps(800) / steps(200)).toBeLessThan(5);
});

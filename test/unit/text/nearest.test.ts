import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nearest, slipsBetween } from '../../../server/src/text/nearest.ts';

/** Plain recursion over the definition, as a second opinion (optimal string alignment). */
function plain(a: string, b: string): number {
  if (a === '' || b === '') return a.length + b.length;
  const [restA, restB] = [a.slice(0, -1), b.slice(0, -1)];
  const same = a.at(-1) === b.at(-1) ? 0 : 1;
  let least = Math.min(plain(restA, b) + 1, plain(a, restB) + 1, plain(restA, restB) + same);
  if (a.length > 1 && b.length > 1 && a.at(-1) === b.at(-2) && a.at(-2) === b.at(-1)) {
    least = Math.min(least, plain(a.slice(0, -2), b.slice(0, -2)) + 1);
  }
  return least;
}

describe('slipsBetween', () => {
  test.each([
    ['bed', 'bed', 0],
    ['bed', 'bad', 1],
    ['bed', 'bde', 1],
    ['bed', 'beds', 1],
    ['kitten', 'sitting', 3],
  ])('%s and %s: %i', (a, b, slips) => expect(slipsBetween(a, b, 10)).toBe(slips));

  test('agrees with the definition, and only cuts off what is above the limit', () => {
    const short = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 5 });
    fc.assert(
      fc.property(short, short, fc.integer({ min: 0, max: 6 }), (a, b, limit) => {
        const slips = plain(a, b);
        const found = slipsBetween(a, b, limit);
        expect(slips <= limit ? found === slips : found > limit).toBe(true);
      }),
      { seed: 1, numRuns: 500 },
    );
  });
});

describe('nearest', () => {
  const names = ['heat.nozzle.first', 'heat.nozzle.later', 'heat.bed.first', 'part.top', 'layer.top'];

  test.each([
    ['heat.nozle.first', ['heat.nozzle.first', 'heat.bed.first']],
    ['Heat.Nozzle.Later', ['heat.nozzle.later', 'heat.nozzle.first']],
    ['part.tpo', ['part.top', 'layer.top'].slice(0, 1)],
    ['colour', []],
    ['', []],
  ])('%s', (word, expected) => expect(nearest(word, names)).toEqual(expected));

  test('at most as many as asked for, equally near ones in their order', () => {
    expect(nearest('ab', ['ax', 'xb', 'ac'])).toEqual(['ax', 'xb']);
    expect(nearest('ab', ['ax', 'xb', 'ac'], 3)).toEqual(['ax', 'xb', 'ac']);
    expect(nearest('ab', ['ax'], 0)).toEqual([]);
  });

  test('a very long word costs nothing', () => expect(nearest('x'.repeat(5_000_000), names)).toEqual([]));
});

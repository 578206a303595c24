import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ByLine } from '../../../server/src/rules/byLine.ts';

test('the nearest above and below are what a search through all gives', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 20 })), fc.integer({ min: -1, max: 22 }), (lines, at) => {
      // In any order: a list's turns run the same lines again.
      const items = lines.map((line, id) => ({ line, id }));
      const byLine = new ByLine(items, ({ line }) => line);
      expect(byLine.above(at)).toBe(items.findLast(({ line }) => line < at));
      expect(byLine.below(at)).toBe(items.find(({ line }) => line > at));
    }),
    { seed: 3 },
  );
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changedRows } from '../../../server/src/text/diff.ts';

/** Length of the longest common subsequence by the textbook table: an independent second opinion. */
function longestCommon(a: readonly string[], b: readonly string[]): number {
  let last = new Array<number>(b.length + 1).fill(0);
  for (const one of a) {
    const row = [0];
    b.forEach((other, j) => {
      row.push(one === other ? (last[j] as number) + 1 : Math.max(last[j + 1] as number, row[j] as number));
    });
    last = row;
  }
  return last[b.length] as number;
}

function rebuilt(a: readonly string[], b: readonly string[]): string[] {
  const out: string[] = [];
  let at = 0;
  for (const { fromA, toA, fromB, toB } of changedRows(a, b)) {
    out.push(...a.slice(at, fromA), ...b.slice(fromB, toB));
    at = toA;
  }
  return [...out, ...a.slice(at)];
}

const rows = fc.array(fc.constantFrom('a', 'b', 'c', 'd'), { maxLength: 14 });

describe('changed rows', () => {
  it('make the one text of the other, with as few rows as can be', () => {
    fc.assert(
      fc.property(rows, rows, (a, b) => {
        expect(rebuilt(a, b)).toEqual(b);
        const rowsChanged = changedRows(a, b).reduce((sum, c) => sum + c.toA - c.fromA + c.toB - c.fromB, 0);
        expect(rowsChanged).toBe(a.length + b.length - 2 * longestCommon(a, b));
      }),
      { seed: 4, numRuns: 3000 },
    );
  });

  it('stand in order, apart from one another', () => {
    fc.assert(
      fc.property(rows, rows, (a, b) => {
        const changes = changedRows(a, b);
        changes.forEach((one, i) => {
          const next = changes[i + 1];
          expect(one.toA - one.fromA + one.toB - one.fromB).toBeGreaterThan(0);
          if (next) expect(next.fromA).toBeGreaterThan(one.toA);
          if (next) expect(next.fromB).toBeGreaterThan(one.toB);
        });
      }),
      { seed: 5, numRuns: 1000 },
    );
  });

  it('too many of them are told as one', () => {
    const a = Array.from({ length: 4000 }, (_, i) => `a${i}`);
    const b = Array.from({ length: 4000 }, (_, i) => `b${i}`);
    expect(changedRows(['x', ...a, 'y'], ['x', ...b, 'y'])).toEqual([{ fromA: 1, toA: 4001, fromB: 1, toB: 4001 }]);
  });
});

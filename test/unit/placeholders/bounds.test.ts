import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  absolute,
  add,
  type Bounds,
  bounds,
  cover,
  divide,
  exact,
  isExact,
  join,
  type Known,
  larger,
  monotone,
  multiply,
  negate,
  remainder,
  scale,
  smaller,
  subtract,
} from '../../../server/src/placeholders/bounds.ts';
import { fewest } from '../../quick/share.ts';

// What bounds arithmetic promises: for any points within the operands, the operation on the points lies within the
// operation on the bounds. The operation on points is JavaScript's own (ECMA-262 6.1.6.1).

const end = fc.oneof(
  fc.integer({ min: -20, max: 20 }),
  fc.double({ min: -1e6, max: 1e6, noNaN: true }),
  fc.constantFrom(0, 1, -1, 0.1, 1e-9, 255),
);
/** Bounds with a point within them: an end, or anywhere between. */
const operand = fc
  .tuple(end, end, fc.oneof(fc.constantFrom(0, 1), fc.double({ min: 0, max: 1, noNaN: true })))
  .map(([a, b, share]) => {
    const [lo, hi] = [Math.min(a, b), Math.max(a, b)];
    return { bounds: { lo, hi }, point: Math.min(hi, Math.max(lo, lo + (hi - lo) * share)) };
  });
const RUNS = { seed: 99, numRuns: 2000 };

function holds(result: Known, point: number, what: string): void {
  if (result === null) return;
  expect(Number.isNaN(result.lo) || Number.isNaN(result.hi), what).toBe(false);
  if (!(result.lo <= point && point <= result.hi))
    throw new Error(`${what}: ${point} is not in [${result.lo}, ${result.hi}]`);
}

describe('for any points in the operands the result lies in the result', () => {
  const binary: [string, (a: Bounds, b: Bounds) => Known, (a: number, b: number) => number][] = [
    ['add', add, (a, b) => a + b],
    ['subtract', subtract, (a, b) => a - b],
    ['multiply', multiply, (a, b) => a * b],
    ['divide', divide, (a, b) => a / b],
    ['remainder', remainder, (a, b) => a % b],
    ['smaller', smaller, Math.min],
    ['larger', larger, Math.max],
    ['join, first', join, (a) => a],
    ['join, second', join, (_, b) => b],
    ['cover, first', cover, (a) => a],
    ['cover, second', cover, (_, b) => b],
  ];
  it.each(binary)('%s', (name, over, at) => {
    let known = 0;
    fc.assert(
      fc.property(operand, operand, (a, b) => {
        const result = over(a.bounds, b.bounds);
        if (result) known++;
        holds(result, at(a.point, b.point), `${name} ${JSON.stringify([a, b])}`);
      }),
      RUNS,
    );
    expect(known).toBeGreaterThan(fewest(RUNS.numRuns / 4));
  });

  const unary: [string, (a: Bounds) => Known, (a: number) => number][] = [
    ['negate', negate, (a) => 0 - a],
    ['absolute', absolute, Math.abs],
    ['floor', (a) => monotone(a, Math.floor), Math.floor],
    ['ceil', (a) => monotone(a, Math.ceil), Math.ceil],
    ['round', (a) => monotone(a, Math.round), Math.round],
    ['scale by -3', (a) => scale(a, -3), (a) => a * -3],
    ['scale by 0', (a) => scale(a, 0), () => 0],
  ];
  it.each(unary)('%s', (name, over, at) => {
    fc.assert(
      fc.property(operand, (a) => {
        const result = over(a.bounds);
        expect(result).not.toBeNull();
        holds(result, at(a.point), `${name} ${JSON.stringify(a)}`);
      }),
      RUNS,
    );
  });

  it('exact operands give an exact result or none', () => {
    fc.assert(
      fc.property(end, end, (a, b) => {
        for (const [, over] of binary.slice(0, 7)) {
          const result = over(exact(a), exact(b));
          expect(result === null || isExact(result)).toBe(true);
        }
      }),
      RUNS,
    );
  });
});

describe('unknown and infinite', () => {
  const some = { lo: 1, hi: 2 };
  it('anything with an unknown is unknown', () => {
    for (const over of [add, subtract, multiply, divide, remainder, smaller, larger, join]) {
      expect(over(null, some)).toBeNull();
      expect(over(some, null)).toBeNull();
    }
    for (const over of [negate, absolute]) expect(over(null)).toBeNull();
    expect(scale(null, 2)).toBeNull();
    expect(isExact(null)).toBe(false);
  });

  it('division where the divisor may be zero is unknown', () => {
    expect(divide(some, { lo: -1, hi: 1 })).toBeNull();
    expect(divide(some, { lo: 0, hi: 1 })).toBeNull();
    expect(divide(some, exact(0))).toBeNull();
    expect(remainder(some, { lo: -1, hi: 0 })).toBeNull();
    expect(divide(some, { lo: 2, hi: 4 })).toEqual({ lo: 0.25, hi: 1 });
  });

  it('open ends stay open, and never become NaN', () => {
    const open = { lo: 0, hi: Number.POSITIVE_INFINITY };
    expect(multiply(open, exact(0))).toEqual(exact(0));
    expect(multiply(open, { lo: -1, hi: 2 })).toEqual({ lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY });
    expect(subtract(open, open)).toEqual({ lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY });
    expect(divide(open, { lo: 1, hi: Number.POSITIVE_INFINITY })).toBeNull();
  });

  it('what is no number is unknown', () => {
    expect(bounds(Number.NaN, 1)).toBeNull();
    expect(bounds(0, Number.NaN)).toBeNull();
    expect(bounds(Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY)).toBeNull();
    expect(add(exact(1e308), exact(1e308))).toBeNull();
  });
});

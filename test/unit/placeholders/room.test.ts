import { describe, expect, it } from 'vitest';
import { NO_FACTS, rangeOf } from '../../../server/src/placeholders/affine.ts';
import {
  add,
  type Bounds,
  eachOf,
  exact,
  join,
  type Known,
  ofName,
  smaller,
  subtract,
} from '../../../server/src/placeholders/bounds.ts';
import { idOfName } from '../../../server/src/placeholders/identity.ts';

const top = ofName({ name: 'part.top', range: { lo: 1, hi: 250 } });
const reach = exact(250);

/** The ends; a hair's breadth is left for rounding. */
const ends = (k: Known): number[] => (k ? [k.lo, k.hi].map((n) => Math.round(n * 1e6) / 1e6 + 0) : []);

describe('the room above a name', () => {
  const room = subtract(reach, top);
  const step = smaller(exact(10), room);

  it('a step up that is limited to it never leads past the limit', () => {
    expect(ends(add(top, room))).toEqual([250, 250]);
    expect(ends(add(top, step))).toEqual([11, 250]);
    expect(ends(subtract(add(top, step), top))).toEqual([0, 10]);
  });

  it('is 10 above the name, or at the limit', () => {
    for (const both of [add(top, step), smaller(add(top, exact(10)), reach)]) {
      const [above, limit] = eachOf(both as Bounds) as [Bounds, Bounds];
      expect(ends(subtract(above, top))).toEqual([10, 10]);
      expect(ends(limit)).toEqual([250, 250]);
    }
  });

  it('is one of two where ways join', () => {
    const either = join(step, exact(5)) as Bounds;
    expect(eachOf(either).length).toBe(2);
    // 5 above a part of 250 leads past the limit.
    expect(ends(add(top, either))).toEqual([6, 255]);
  });

  // Against plain arithmetic: every formula, filled in with values of the name, lies within its bounds.
  it('holds for every value of the name', () => {
    const formulas: readonly (readonly [Known, (n: number) => number])[] = [
      [add(top, step), (n) => n + Math.min(10, 250 - n)],
      [add(step, top), (n) => n + Math.min(10, 250 - n)],
      [add(add(top, exact(1)), step), (n) => n + 1 + Math.min(10, 250 - n)],
      [add(top, smaller(subtract(exact(200), add(top, exact(3))), exact(-2))), (n) => n + Math.min(197 - n, -2)],
      [add(subtract(top, exact(7)), join(step, exact(2))), (n) => n - 7 + Math.min(10, 250 - n)],
    ];
    for (const [bounds, of] of formulas)
      for (let n = 1; n <= 250; n += 0.5) {
        const is = of(n);
        expect(bounds && bounds.lo - 1e-9 <= is && is <= bounds.hi + 1e-9).toBe(true);
        const ranges = new Map([[idOfName('part.top'), exact(n)]]);
        const by = bounds?.form && rangeOf(bounds.form, { ...NO_FACTS, ranges });
        if (by) expect(by.lo - 1e-9 <= is && is <= by.hi + 1e-9).toBe(true);
      }
  });
});

import { describe, expect, it } from 'vitest';
import {
  add,
  exact,
  join,
  type Known,
  larger,
  ofName,
  smaller,
  subtract,
} from '../../../server/src/placeholders/bounds.ts';

const top = ofName({ name: 'part.top', range: { lo: 1, hi: 250 } });
const reach = exact(250);

describe('the room above a name', () => {
  const room = subtract(reach, top);
  const step = smaller(exact(10), room);

  it('a step up that is limited to it never leads past the limit', () => {
    expect(add(top, room)).toMatchObject({ lo: 250, hi: 250 });
    expect(add(top, step)).toMatchObject({ lo: 11, hi: 250 });
    expect(subtract(add(top, step), top)).toMatchObject({ lo: 0, hi: 10 });
  });

  it('is 10 above the name, or at the limit', () => {
    expect(add(top, step)?.over?.cap).toEqual({ lo: 10, at: 250 });
    expect(smaller(add(top, exact(10)), reach)?.over?.cap).toEqual({ lo: 10, at: 250 });
  });

  it('is forgotten where ways join, and where the number changes', () => {
    expect(join(step, exact(5))?.room).toBeUndefined();
    expect(join(exact(5), step)?.room).toBeUndefined();
    expect(add(step, exact(1))?.room).toBeUndefined();
    expect(larger(step, exact(1))?.room).toBeUndefined();
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
        const { over } = bounds as NonNullable<Known>;
        if (over) expect(over.lo - 1e-9 <= is - n && is - n <= over.hi + 1e-9).toBe(true);
        if (over?.cap) expect(is - n >= over.cap.lo - 1e-9 || is >= over.cap.at - 1e-9).toBe(true);
      }
  });
});

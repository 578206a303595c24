import { describe, expect, it } from 'vitest';
import {
  type Atom,
  atomOf,
  type Form,
  formOf,
  joinForms,
  NO_FACTS,
  plainForm,
  rangeOf,
  sum,
  times,
} from '../../../server/src/placeholders/affine.ts';
import { meet } from '../../../server/src/placeholders/facts.ts';
import { idOfName, idOfNumber } from '../../../server/src/placeholders/identity.ts';
import { randomOf } from '../analyze/random.ts';

const atom = (name: string, lo: number, hi: number, more: Partial<Atom> = {}): Atom => ({
  id: idOfName(name),
  name,
  range: { lo, hi },
  ...more,
});
const number = (n: number): Form => plainForm(n, n, idOfNumber(n));
/** A constant and factors of atoms. */
const form = (constant: number, ...terms: readonly (readonly [number, Atom])[]): Form =>
  terms.reduce((all, [by, of]) => sum(all, formOf(of), by, 0), number(constant));
const factors = ({ terms }: Form): Record<string, number> =>
  Object.fromEntries(terms.map(({ of, by }) => [of.name, by]));

// Noise symbols of the papers lie in [-1, 1].
const [E1, E2] = [atom('e1', -1, 1), atom('e2', -1, 1)];

describe('against the worked example of the papers (Goubault and Putot, arXiv:0910.1763; figures from memory)', () => {
  const x = form(3, [1, E1], [2, E2]);
  const y = form(1, [-2, E1], [1, E2]);

  it('each lies where its factors put it', () => {
    expect(rangeOf(x)).toEqual({ lo: 0, hi: 6 });
    expect(rangeOf(y)).toEqual({ lo: -2, hi: 4 });
  });

  it('a sum adds the factors, and what both have in common cancels', () => {
    expect(rangeOf(sum(x, y, 1, 0))).toEqual({ lo: 0, hi: 8 });
    expect(factors(sum(x, y, -1, 0))).toEqual({ e1: 3, e2: 1 });
    expect(rangeOf(sum(x, x, -1, 0))).toEqual({ lo: 0, hi: 0 });
  });

  it('their join is 2 + e2 + 3n: the common factor nearer to zero, none where the signs differ, and no wider than both', () => {
    const join = joinForms(x, y);
    expect(factors(join)).toEqual({ e2: 1 });
    expect([(join.lo + join.hi) / 2, (join.hi - join.lo) / 2]).toEqual([2, 3]);
    expect(rangeOf(join)).toEqual({ lo: -2, hi: 6 });
  });
});

describe('what is compared', () => {
  const [left, right] = [atom('left', 0, 200, { atMost: 'right' }), atom('right', 0, 200, { atLeast: 'left' })];
  const least = (...forms: readonly Form[]): Atom => atomOf('min', forms, 0, { lo: -1000, hi: 1000 });
  const greatest = (...forms: readonly Form[]): Atom => atomOf('max', forms, 0, { lo: -1000, hi: 1000 });

  it('by a declared order', () => {
    expect(rangeOf(form(0, [1, right], [-1, left]))).toEqual({ lo: 0, hi: 200 });
    expect(rangeOf(form(5, [2, right], [-1, left])).lo).toBe(5);
  });

  it('by what a least or a greatest number is', () => {
    const a = form(5, [1, left]);
    const cap = least(a, number(90));
    // min(left + 5, 90) is never above left + 5, nor above 90; it is 110 below left where that is 200.
    expect(rangeOf(sum(formOf(cap), a, -1, 0))).toEqual({ lo: -115, hi: 0 });
    expect(rangeOf(formOf(cap))).toEqual({ lo: 5, hi: 90 });
    const floor = greatest(a, number(90));
    expect(rangeOf(sum(formOf(floor), a, -1, 0))).toEqual({ lo: 0, hi: 85 });
  });

  it('bounded: of many names the least go into the rest, of many forms the last are joined', () => {
    const many = Array.from({ length: 20 }, (_, i) => atom(`n${i}`, 0, i + 1));
    const all = form(0, ...many.map((of) => [1, of] as const));
    expect(all.terms.length).toBe(8);
    expect(rangeOf(all)).toEqual({ lo: 0, hi: 210 });
    const lots = least(...many.map((of) => form(1, [1, of])));
    expect(lots.is?.forms.length).toBe(4);
    expect(rangeOf(formOf(lots)).lo).toBe(1);
  });

  it('what lies in each other a hundred times ends, and is still right', () => {
    let inner = form(0, [1, left]);
    for (let i = 0; i < 100; i++)
      inner = formOf(
        atomOf(i % 2 === 0 ? 'min' : 'one', [sum(inner, number(1), 1, 0), form(1, [1, right])], 0, { lo: 0, hi: 300 }),
      );
    const { lo, hi } = rangeOf(inner);
    expect(lo).toBeLessThanOrEqual(1);
    expect(hi).toBeGreaterThanOrEqual(201);
  });
});

// The meet keeps what arXiv:1002.2236 keeps of a linear condition: here held against every point of a grid.
describe('what a condition says', () => {
  const [a, b] = [atom('a', 0, 10), atom('b', 0, 10)];

  it('narrows the names, and sums that hold it', () => {
    // a >= 2b + 4
    const facts = meet(NO_FACTS, form(-4, [1, a], [-2, b]), false, true);
    expect(facts.ranges.get(a.id)).toEqual({ lo: 4, hi: 10 });
    expect(facts.ranges.get(b.id)).toEqual({ lo: 0, hi: 3 });
    // a - 2b is 4 or more, a - b too: without the condition they go below zero.
    expect(rangeOf(form(0, [1, a], [-1, b]), facts).lo).toBe(4);
    expect(facts.impossible).toBe(false);
  });

  it('says where no job is left', () => {
    expect(meet(NO_FACTS, form(-31, [1, a], [2, b]), false, true).impossible).toBe(true);
    const first = meet(NO_FACTS, form(-7, [1, a]), false, true);
    expect(meet(first, form(5, [-1, a]), false, true).impossible).toBe(true);
  });

  it('whole numbers above a number begin at the next one', () => {
    const tool = atom('tool', 0, 3, { whole: true });
    expect(meet(NO_FACTS, form(0, [1, tool]), true, true).ranges.get(tool.id)).toEqual({ lo: 1, hi: 3 });
  });

  it('random conditions leave out no point of a grid for which they hold', () => {
    let narrowed = 0;
    for (let seed = 1; seed <= 400; seed++) {
      const random = randomOf(seed);
      const any = (): Form => form(random.whole(-12, 12), [random.whole(-2, 2), a], [random.whole(-2, 2), b]);
      const pick = (): Form =>
        random.chance(0.3)
          ? formOf(atomOf(random.pick(['min', 'max']), [any(), any()], 0, { lo: -99, hi: 99 }))
          : any();
      const [one, two, asked] = [pick(), pick(), pick()];
      const facts = meet(meet(NO_FACTS, one, false, true), two, false, true);
      const found = rangeOf(asked, facts);
      for (let x = 0; x <= 10; x++)
        for (let y = 0; y <= 10; y++) {
          const at = (f: Form): number =>
            f.terms.reduce((s, { of, by }) => {
              const is = of.is?.forms.map(at);
              return s + by * (is ? Math[of.is?.kind === 'min' ? 'min' : 'max'](...is) : of === a ? x : y);
            }, f.lo);
          if (at(one) < 0 || at(two) < 0) continue;
          const [ra, rb] = [facts.ranges.get(a.id) ?? a.range, facts.ranges.get(b.id) ?? b.range];
          const inside = x >= ra.lo - 1e-6 && x <= ra.hi + 1e-6 && y >= rb.lo - 1e-6 && y <= rb.hi + 1e-6;
          const is = at(asked);
          if (facts.impossible || !inside || is < found.lo - 1e-6 || is > found.hi + 1e-6)
            throw new Error(`seed ${seed}: ${x} ${y}`);
        }
      if (facts.ranges.size > 0) narrowed++;
    }
    expect(narrowed).toBeGreaterThan(100);
  });
});

// A. Miné, thesis, École Polytechnique 2004, potential constraints: bounds on differences of two variables (worked example
// and figures from memory). The cheap part that is kept has no closure: what follows from two bounds together is met
// through the variables' own ranges, and may come out wider than the thesis has it, never narrower.
describe('against bounds on differences (Miné 2004; figures from memory)', () => {
  const [x, y, z] = [atom('x', 0, 10), atom('y', 0, 10), atom('z', 0, 10)];
  // x - y <= 4, y - z <= -1
  const first = meet(NO_FACTS, form(4, [-1, x], [1, y]), false, true);
  const both = meet(first, form(-1, [-1, y], [1, z]), false, true);

  it('a bound on a difference is kept as it is', () => {
    expect(rangeOf(form(0, [1, x], [-1, y]), both).hi).toBe(4);
    expect(rangeOf(form(0, [1, y], [-1, z]), both).hi).toBe(-1);
  });
  it('and bounds each variable by the range of the other', () => {
    expect(both.ranges.get(y.id)).toEqual({ lo: 0, hi: 9 });
    expect(both.ranges.get(z.id)).toEqual({ lo: 1, hi: 10 });
    const low = meet(first, form(3, [-1, y]), false, true);
    expect(low.ranges.get(x.id)).toEqual({ lo: 0, hi: 7 });
  });
  it('x - z <= 3 follows by closure: no bound that is told is below that', () => {
    const { hi } = rangeOf(form(0, [1, x], [-1, z]), both);
    expect(hi).toBeGreaterThanOrEqual(3);
    expect(hi).toBeLessThan(10);
  });
  it('a cycle of bounds whose sum is below zero leaves no job, once the ranges say it', () => {
    // x - y <= -6 and y - x <= -6.
    const one = meet(NO_FACTS, form(-6, [-1, x], [1, y]), false, true);
    expect(meet(one, form(-6, [1, x], [-1, y]), false, true).impossible).toBe(true);
  });
});

// K. Ghorbal, E. Goubault and S. Putot, arXiv:1002.2236: a condition is met by bounding the noise symbols, which keeps the
// relation between variables where bounding the variables alone would lose it (shape of the example from memory).
it('meeting with a condition keeps what variables have in common (arXiv:1002.2236)', () => {
  // x = 5 + 5 e1 in [0, 10], y = 2 x: the condition y >= 10 also bounds x, and y - x is still x.
  const x = form(5, [5, E1]);
  const y = times(x, 2, 0);
  const facts = meet(NO_FACTS, sum(y, number(10), -1, 0), false, true);
  expect(facts.ranges.get(E1.id)).toEqual({ lo: 0, hi: 1 });
  expect(rangeOf(x, facts)).toEqual({ lo: 5, hi: 10 });
  expect(rangeOf(sum(y, x, -1, 0), facts)).toEqual({ lo: 5, hi: 10 });
});

it('times a number', () => {
  expect(rangeOf(times(form(3, [2, E1]), -2, 0))).toEqual({ lo: -10, hi: -2 });
});

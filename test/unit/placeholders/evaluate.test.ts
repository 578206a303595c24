import { describe, expect, it } from 'vitest';
import { NO_FACTS, rangeOf } from '../../../server/src/placeholders/affine.ts';
import { exact } from '../../../server/src/placeholders/bounds.ts';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { evaluate, joinValues, plainNumber, render, truth } from '../../../server/src/placeholders/evaluate.ts';
import { parseExpression } from '../../../server/src/placeholders/expression.ts';
import { idOfName } from '../../../server/src/placeholders/identity.ts';
import type { Value } from '../../../server/src/placeholders/value.ts';
import type { Name, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { randomOf } from '../analyze/random.ts';
import { condition, expression } from '../analyze/sequences.ts';

const name = (key: string, lo: number, hi: number): Name => ({
  name: key,
  kind: 'number',
  unit: '',
  range: { lo, hi },
  sample: lo,
  meaning: key,
});
const NAMES: Name[] = [
  { ...name('a', -3, 7), atMost: 'h' },
  name('b.c', 1, 2),
  name('d', 0, 0),
  name('e.f', -20, -5),
  name('g', 0, 1),
  { ...name('h', -3, 9), atLeast: 'a' },
];
const VOCABULARY: Vocabulary = {
  names: new Map([
    ...NAMES.map((n) => [n.name, n] as const),
    ['filament.kind', { ...name('filament.kind', 0, 0), kind: 'text', range: null, sample: 'PLA' }],
    ['on', { ...name('on', 0, 0), kind: 'flag', range: null, sample: false }],
    ['list', { ...name('list', 0, 3), kind: 'list' }],
    ['pick', { ...name('pick', 0, 0), kind: 'text', range: null, choices: ['x', 'y'], sample: 'x' }],
    ['open', { ...name('open', 0, 0), range: null }],
  ]),
};

const value = (source: string, job?: Record<string, number | string | boolean>): Value => {
  const { expr } = parseExpression(source, 0);
  if (!expr) throw new Error(source);
  return evaluate(expr, job ? jobEnv(VOCABULARY, new Map(Object.entries(job))) : boundsEnv(VOCABULARY));
};

/** Whether a value of one job is among what all jobs can have. */
function within(all: Value, one: Value, job: Record<string, unknown>): boolean {
  if (all.type === 'unknown') return true;
  if (all.type === 'number') {
    if (one.type !== 'number' || one.lo < all.lo - 1e-9 || one.hi > all.hi + 1e-9) return false;
    if (!all.form) return true;
    // What it is as a sum over names holds too.
    const ranges = Object.entries(job).map(([key, n]) => [idOfName(key), exact(Number(n))] as const);
    const by = rangeOf(all.form, { ...NO_FACTS, ranges: new Map(ranges) });
    return one.lo >= by.lo - 1e-9 && one.hi <= by.hi + 1e-9;
  }
  if (all.type === 'flag') return one.type === 'flag' && (all.is === null || all.is === one.is);
  if (all.type === 'text') {
    const { any } = all;
    return one.type === 'text' && (any === null || (one.any?.every((t) => any.includes(t)) ?? false));
  }
  return one.type === 'list' && all.length.lo <= one.length.lo && one.length.hi <= all.length.hi;
}

describe('a run over all jobs holds every job', () => {
  it('random expressions and conditions, random jobs', () => {
    let known = 0;
    for (let seed = 1; seed <= 800; seed++) {
      const random = randomOf(seed);
      const source = random.chance(0.7) ? expression(random, NAMES, 4) : condition(random, NAMES, 3);
      const all = value(source);
      if (all.type !== 'unknown') known++;
      for (let i = 0; i < 25; i++) {
        const job: Record<string, number | string | boolean> = { 'filament.kind': random.pick(['PLA', 'ABS', '']) };
        for (const { name: key, range } of NAMES) {
          const { lo, hi } = range ?? { lo: 0, hi: 0 };
          job[key] = random.pick([lo, hi, lo + (hi - lo) * random.next(), Math.round(lo + (hi - lo) * random.next())]);
        }
        // As the vocabulary declares.
        job.h = Math.max(job.h as number, job.a as number);
        const one = value(source, job);
        if (!within(all, one, job))
          throw new Error(
            `${source}: ${JSON.stringify(one)} is not in ${JSON.stringify(all)} for ${JSON.stringify(job)}`,
          );
      }
    }
    expect(known).toBeGreaterThan(400);
  });

  it.each([
    ['a + b.c', { type: 'number', lo: -2, hi: 9 }],
    ['a * e.f', { type: 'number', lo: -140, hi: 60 }],
    ['min(a, b.c)', { type: 'number', lo: -3, hi: 2 }],
    ['abs(e.f)', { type: 'number', lo: 5, hi: 20 }],
    ['b.c > 0', { type: 'flag', is: true }],
    ['b.c > 1.5', { type: 'flag', is: null }],
    ['b.c < 1', { type: 'flag', is: false }],
    ['b.c <= 2', { type: 'flag', is: true }],
    ['a == 8', { type: 'flag', is: false }],
    ['d == 0', { type: 'flag', is: true }],
    ['g ? b.c : e.f', { type: 'number', lo: -20, hi: 2 }],
    ['b.c ? 1 : 2', { type: 'number', lo: 1, hi: 1 }],
    ['d && a', { type: 'number', lo: 0, hi: 0 }],
    ['d || 5', { type: 'number', lo: 5, hi: 5 }],
    ['a / g', { type: 'unknown' }],
    ['a / b.c', { type: 'number', lo: -3, hi: 7 }],
    ['open + 1', { type: 'unknown' }],
    ['no.such', { type: 'unknown' }],
    ['!list', { type: 'flag', is: null }],
    ['pick + "z"', { type: 'text', any: ['xz', 'yz'] }],
    ['pick == "q"', { type: 'flag', is: false }],
    ['pick == "x"', { type: 'flag', is: null }],
    ['"n" + 2', { type: 'text', any: ['n2'] }],
    ['filament.kind == "PLA"', { type: 'flag', is: null }],
    ['on ? 1 : 3', { type: 'number', lo: 1, hi: 3 }],
    ['-a', { type: 'number', lo: -7, hi: 3 }],
    ['round(0.5) + round(-0.5)', { type: 'number', lo: 1, hi: 1 }],
    ['1e308 * 10', { type: 'unknown' }],
  ] satisfies [string, Value][])('%s', (source, wanted) => {
    const found = value(source);
    expect(found.type === 'number' ? { type: 'number', lo: found.lo, hi: found.hi } : found).toEqual(wanted);
  });

  it('what hangs on a name is known relative to it', () => {
    expect(value('h - a')).toMatchObject({ lo: 0, hi: 12 });
    const five = value('a + 5 - a');
    // Of a sum that is rounded a hair's breadth stays open.
    expect(five.type === 'number' && [five.lo, five.hi].map((n) => Math.round(n * 1e6) / 1e6)).toEqual([5, 5]);
    expect(value('a + 5 > a')).toEqual({ type: 'flag', is: true });
    expect(value('h + 1 > a')).toEqual({ type: 'flag', is: true });
    const capped = value('min(a + 5, 6) - a');
    expect(capped.type === 'number' && capped.hi).toBeCloseTo(5, 8);
  });
});

describe('truth (ECMA-262 7.1.2; an empty list counts as false, as in the Mustache specification)', () => {
  it.each([
    [{ type: 'number', lo: 0, hi: 0 }, false],
    [{ type: 'number', lo: 1, hi: 2 }, true],
    [{ type: 'number', lo: -2, hi: -1 }, true],
    [{ type: 'number', lo: -1, hi: 1 }, null],
    [{ type: 'number', lo: 0, hi: 1 }, null],
    [{ type: 'text', any: [''] }, false],
    [{ type: 'text', any: ['a', 'b'] }, true],
    [{ type: 'text', any: ['', 'b'] }, null],
    [{ type: 'text', any: null }, null],
    [{ type: 'flag', is: null }, null],
    [{ type: 'list', length: { lo: 0, hi: 0 }, items: null }, false],
    [{ type: 'list', length: { lo: 1, hi: 4 }, items: null }, true],
    [{ type: 'list', length: { lo: 0, hi: 4 }, items: null }, null],
    [{ type: 'unknown' }, null],
  ] satisfies [Value, boolean | null][])('%j', (of, wanted) => {
    expect(truth(of)).toBe(wanted);
  });
});

describe('what is filled in', () => {
  it.each([
    [1, '1'],
    [0, '0'],
    [-0, '0'],
    [0.1 + 0.2, '0.30000000000000004'],
    [-2.5, '-2.5'],
    [1e21, '1000000000000000000000'],
    [1.5e22, '15000000000000000000000'],
    [1e-7, '0.0000001'],
    [-1.25e-9, '-0.00000000125'],
    [5e-324, '0'],
    [123456789.125, '123456789.125'],
  ])('%d is written %s', (n, wanted) => {
    expect(plainNumber(n)).toBe(wanted);
  });

  it('numbers have no exponent, and read back as what they were', () => {
    const random = randomOf(3);
    for (let i = 0; i < 2000; i++) {
      const n = (random.next() - 0.5) * 10 ** random.whole(-12, 24);
      const text = plainNumber(n);
      // Digits, one point, a sign (NISTIR 6556 3.3.2.1).
      expect(text).toMatch(/^-?\d+(\.\d+)?$/);
      expect(Math.abs(Number(text) - n)).toBeLessThanOrEqual(Math.max(1e-20, Math.abs(n) * 1e-15));
    }
  });

  it('only exact values are', () => {
    expect(render({ type: 'number', lo: 1, hi: 1 })).toBe('1');
    expect(render({ type: 'number', lo: 1, hi: 2 })).toBeNull();
    expect(render({ type: 'text', any: ['a'] })).toBe('a');
    expect(render({ type: 'text', any: ['a', 'b'] })).toBeNull();
    expect(render({ type: 'flag', is: true })).toBe('true');
    expect(render({ type: 'flag', is: null })).toBeNull();
    expect(render({ type: 'unknown' })).toBeNull();
  });

  it('values of two branches are joined', () => {
    const number: Value = { type: 'number', lo: 1, hi: 1 };
    expect(joinValues(number, { type: 'number', lo: 3, hi: 3 })).toEqual({ type: 'number', lo: 1, hi: 3 });
    expect(joinValues(number, { type: 'text', any: ['a'] })).toEqual({ type: 'unknown' });
    expect(joinValues({ type: 'flag', is: true }, { type: 'flag', is: false })).toEqual({ type: 'flag', is: null });
    expect(joinValues({ type: 'text', any: ['a'] }, { type: 'text', any: ['a', 'b'] })).toEqual({
      type: 'text',
      any: ['a', 'b'],
    });
  });
});

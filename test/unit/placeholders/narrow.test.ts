import { describe, expect, it } from 'vitest';
import { join, type Known, subtract } from '../../../server/src/placeholders/bounds.ts';
import { boundsEnv, jobEnv } from '../../../server/src/placeholders/environment.ts';
import { asNumber, evaluate, truth } from '../../../server/src/placeholders/evaluate.ts';
import { type Expr, parseExpression } from '../../../server/src/placeholders/expression.ts';
import { narrow } from '../../../server/src/placeholders/narrow.ts';
import type { Name, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { randomOf } from '../analyze/random.ts';
import { condition } from '../analyze/sequences.ts';

const name = (key: string, lo: number, hi: number, more: Partial<Name> = {}): Name => ({
  name: key,
  kind: 'number',
  unit: '',
  range: { lo, hi },
  sample: lo,
  meaning: key,
  ...more,
});
const NAMES = [name('a', -3, 7), name('b', 0, 100), name('c', -20, 20), name('d', 1, 2)];
const TEXT = name('filament.kind', 0, 0, { kind: 'text', range: null, choices: ['PLA', 'ABS', 'odd'], sample: 'PLA' });
const VOCABULARY: Vocabulary = { names: new Map([...NAMES, TEXT].map((n) => [n.name, n])) };
const ALL = boundsEnv(VOCABULARY);

const read = (source: string): Expr => {
  const { expr } = parseExpression(source, 0);
  if (!expr) throw new Error(source);
  return expr;
};
const under = (source: string, holds: boolean, key: string): Known => {
  const value = narrow(read(source), holds, ALL)(key);
  return value ? asNumber(value) : null;
};
/** The ends, rounded: a hair's breadth is left for rounding. */
const ends = (k: Known): string => (k ? `${Math.round(k.lo * 1e6) / 1e6}..${Math.round(k.hi * 1e6) / 1e6}` : '?');

describe('what a condition says of the names in it', () => {
  it.each([
    ['b < 50', true, 'b', '0..50'],
    ['b < 50', false, 'b', '50..100'],
    ['50 <= b', true, 'b', '50..100'],
    ['!(b < 50)', true, 'b', '50..100'],
    ['b + 10 > 50', true, 'b', '40..100'],
    ['b > 10 && b < 20', true, 'b', '10..20'],
    ['b < 10 || b > 20', false, 'b', '10..20'],
    ['b < 10 || b > 20', true, 'b', '0..100'],
    ['b == 5', true, 'b', '5..5'],
    ['b != 5', false, 'b', '5..5'],
    ['a > b', true, 'b', '0..7'],
    ['a > b', true, 'a', '0..7'],
    ['b < 50', true, 'a', '-3..7'],
    ['b < 0 - 1', true, 'b', '0..100'],
    ['b * 2 < 50', true, 'b', '0..25'],
    ['b - a > 50', true, 'b', '47..100'],
    ['a + b > 100', true, 'a', '0..7'],
    ['min(b, c) > 5', true, 'b', '5..100'],
    ['min(b, c) > 5', true, 'c', '5..20'],
    ['max(b, 30) < 40', true, 'b', '0..40'],
  ])('%s, %s: %s is %s', (source, holds, key, wanted) => {
    expect(ends(under(source, holds, key))).toBe(wanted);
  });

  it('texts', () => {
    expect(narrow(read('filament.kind == "ABS"'), true, ALL)('filament.kind')).toEqual({ type: 'text', any: ['ABS'] });
    expect(narrow(read('filament.kind == "ABS"'), false, ALL)('filament.kind')).toEqual({
      type: 'text',
      any: ['PLA', 'odd'],
    });
  });

  it('leaves out no job for which it is true: random conditions, random jobs', () => {
    let narrowed = 0;
    for (let seed = 1; seed <= 1500; seed++) {
      const random = randomOf(seed);
      const expr = read(condition(random, NAMES, 3));
      for (const holds of [true, false]) {
        const env = narrow(expr, holds, ALL);
        if (env !== ALL) narrowed++;
        for (let i = 0; i < 20; i++) {
          const job = new Map<string, number | string>([['filament.kind', random.pick(['PLA', 'ABS', 'odd'])]]);
          for (const { name: key, range } of NAMES) {
            const { lo, hi } = range ?? { lo: 0, hi: 0 };
            job.set(key, random.pick([lo, hi, random.decimal(lo, hi, 3), random.whole(lo, hi)]));
          }
          if (truth(evaluate(expr, jobEnv(VOCABULARY, job))) !== holds) continue;
          for (const { name: key } of NAMES) {
            const value = env(key);
            const one = job.get(key) as number;
            if (value?.type !== 'number' || one < value.lo || one > value.hi)
              throw new Error(`seed ${seed}: ${key} ${one}`);
          }
          const kind = env('filament.kind');
          expect(kind?.type === 'text' && (kind.any?.includes(job.get('filament.kind') as string) ?? true)).toBe(true);
        }
      }
    }
    expect(narrowed).toBeGreaterThan(500);
  });

  it('behind the section, where it says nothing, a number is set against the whole range of its name', () => {
    const inside = under('b < 10', true, 'b');
    // In the jobs without the section it is 5, and b up to 100: 95 below it.
    const both = join(inside, { lo: 5, hi: 5 });
    const b = ALL('b');
    const above = subtract(both, b ? asNumber(b) : null);
    expect(above?.lo).toBeLessThanOrEqual(5 - 100);
    expect(above?.hi).toBeGreaterThanOrEqual(5);
  });
});

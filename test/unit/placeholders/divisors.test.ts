import { describe, expect, it } from 'vitest';
import { divisionsIn, rulesOutZero, zeroValues } from '../../../server/src/placeholders/divisors.ts';
import { evaluate, plainValue, truth } from '../../../server/src/placeholders/evaluate.ts';
import { type Expr, parseExpression } from '../../../server/src/placeholders/expression.ts';
import type { Env } from '../../../server/src/placeholders/value.ts';
import type { Name, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import { randomOf } from '../analyze/random.ts';

const parsed = (source: string): Expr => {
  const { expr } = parseExpression(source, 0);
  if (!expr) throw new Error(source);
  return expr;
};
const RANGES: Env = (name) =>
  name === 'a' ? { type: 'number', lo: -5, hi: 5 } : name === 'b' ? { type: 'number', lo: 0, hi: 9 } : undefined;

describe('divisions that are worked out', () => {
  it.each([
    ['1 / a + b % 2', [true, true]],
    ['a ? 1 / a : 2', [null]],
    ['true ? 1 / a : 1 / b', [true]],
    ['false && 1 / a', []],
    ['a && 1 / a', [null]],
    ['a || 1 / b', [null]],
    ['min(1 / a, -(2 % b))', [true, true]],
    ['a / b / 2', [true, true]],
    ['a + b', []],
  ] as const)('%s', (source, wanted) => {
    const found = divisionsIn(parsed(source), RANGES).sort((x, y) => x.expr.span.start - y.expr.span.start);
    expect(found.map(({ done }) => done)).toEqual(wanted);
  });
});

describe('conditions that rule a divisor of zero out', () => {
  it.each([
    ['a', true, 'a', true],
    ['a', false, 'a', false],
    ['!a', false, 'a', true],
    ['a > 0', true, 'a', true],
    ['a >= 0', true, 'a', false],
    ['0 < a', true, 'a', true],
    ['a < 0', true, 'a', true],
    ['a <= 0', false, 'a', true],
    ['a != 0', true, 'a', true],
    ['a === 0', false, 'a', true],
    ['a == 3', true, 'a', true],
    ['a > -1', true, 'a', false],
    ['a - b > 0', true, 'a-b', true],
    ['a - b > 0', true, 'b - a', false],
    ['b && a > 2', true, 'a', true],
    ['b && a > 2', false, 'a', false],
    ['b || a == 0', false, 'a', true],
    ['b || a > 2', true, 'a', false],
    ['b > 0', true, 'a', false],
    ['a > b', true, 'a', false],
  ])('%s is %s: 1 / (%s) %s', (condition, holds, divisor, wanted) => {
    expect(rulesOutZero(parsed(condition), holds, parsed(divisor))).toBe(wanted);
  });

  it('no job that meets the condition makes the divisor zero', () => {
    let ruledOut = 0;
    for (let seed = 1; seed <= 4000; seed++) {
      const random = randomOf(seed);
      const divisor = random.pick(['a', 'b', 'a - 2', 'a * b', 'a - b']);
      const side = (): string => random.pick([divisor, 'a', 'b', String(random.whole(-2, 2))]);
      const one = (): string => `${side()} ${random.pick(['<', '<=', '>', '>=', '==', '!=', '===', '!=='])} ${side()}`;
      const condition = random.pick([
        one(),
        divisor,
        `!(${one()})`,
        `${one()} && ${one()}`,
        `${one()} || !(${divisor})`,
      ]);
      const holds = random.chance(0.5);
      if (!rulesOutZero(parsed(condition), holds, parsed(divisor))) continue;
      ruledOut++;
      for (let a = -3; a <= 3; a++)
        for (let b = -3; b <= 3; b++) {
          const env: Env = (name) => plainValue(name === 'a' ? a : b);
          if (truth(evaluate(parsed(condition), env)) !== holds) continue;
          const value = evaluate(parsed(divisor), env);
          expect(value.type === 'number' && value.lo === 0, `${condition} ${holds}: ${divisor} at ${a}, ${b}`).toBe(
            false,
          );
        }
    }
    expect(ruledOut).toBeGreaterThan(300);
  });
});

describe('where a divisor is zero', () => {
  const name = (key: string, lo: number, hi: number, more: Partial<Name> = {}): [string, Name] => [
    key,
    { name: key, kind: 'number', unit: '', range: { lo, hi }, sample: 7, meaning: key, ...more },
  ];
  const vocabulary: Vocabulary = {
    names: new Map([name('a', 0, 100), name('b', 0, 3), name('w', 0, 100, { whole: true })]),
  };
  const usual: Env = (key) => plainValue(key === 'b' ? 2 : 7);
  it.each([
    ['1 / (a - 20)', [['a', 20]]],
    ['1 % (2 * a - 75)', [['a', 37.5]]],
    [
      '1 / (a - b)',
      [['a', 2]], // b = 7 lies outside its range
    ],
    ['1 / (2 * w - 75)', []],
    ['1 / (2 * w - 76)', [['w', 38]]],
    ['1 / (a - 200)', []],
    ['1 / (a + 1)', []],
    ['1 / 5', []],
    ['a > 1 ? 1 / (a - 3) : 2', [['a', 3]]],
  ] as const)('%s', (source, wanted) => {
    expect(zeroValues(vocabulary, [parsed(source)], usual)).toEqual(wanted);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { conditionKey } from '../../../../server/src/placeholders/canonical.ts';
import { evaluate, truthOf } from '../../../../server/src/placeholders/evaluate.ts';
import { childrenOf, type Expr, namesIn, parseExpression } from '../../../../server/src/placeholders/expression.ts';
import type { Grammar, Rules } from '../../../../server/src/placeholders/grammar.ts';
import { type Language, languageOf } from '../../../../server/src/placeholders/language.ts';
import { narrow } from '../../../../server/src/placeholders/narrow.ts';
import type { Env, Value } from '../../../../server/src/placeholders/value.ts';
import { fewest } from '../../../quick/share.ts';
import { randomOf } from '../../analyze/random.ts';
import { expressionOf, NAMES, RANGES, valuesOf } from './randomExpression.ts';
import { randomGrammar, randomRules, settled } from './randomGrammar.ts';

/** Every part of an expression once. */
function partsOf(expr: Expr, seen = new Set<Expr>()): Set<Expr> {
  if (seen.has(expr)) return seen;
  seen.add(expr);
  for (const part of childrenOf(expr)) partsOf(part, seen);
  return seen;
}

const bounded: Env = (name) => RANGES.get(name);

describe('any text as an expression of any language', () => {
  const pieces = [
    ...'()[]{}.,?:!+-*/%<>=&|"\'`~^@#$\\ \n09eEnx'.split(''),
    ...[
      'tall',
      'first bed',
      '2nd',
      'gt ',
      ' and ',
      ' or ',
      'not ',
      ' if ',
      ' else ',
      'pick(',
      '.0',
      '[0]',
      '1.5',
      ':.2f',
      ' | ',
      '..',
      'fan-on',
      '\ud800',
      '\u2028',
    ],
  ];

  it('is read or refused, never both; nothing is thrown, and every part lies in its source', () => {
    let read = 0;
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.array(fc.constantFrom(...pieces), { maxLength: 24 }),
        (seed, parts) => {
          const text = parts.join('');
          const language = languageOf(randomGrammar(randomOf(seed)), NAMES);
          const { expr, problem } = parseExpression(text, 7, language);
          expect(expr === null).not.toBe(problem === null);
          if (problem) expect(problem.span.end).toBeLessThanOrEqual(7 + text.length);
          if (!expr) return;
          read++;
          for (const part of partsOf(expr)) {
            expect(part.span.start).toBeGreaterThanOrEqual(7);
            expect(part.span.end).toBeLessThanOrEqual(7 + text.length);
          }
          for (const { name, span } of namesIn(expr))
            expect(name.length).toBeGreaterThan(span.end - span.start > 0 ? 0 : -1);
          evaluate(expr, bounded);
          truthOf(expr, narrow(expr, true, bounded));
          conditionKey(expr);
        },
      ),
      { seed: 13, numRuns: 3000 },
    );
    expect(read).toBeGreaterThan(fewest(500));
  });

  it('takes work in proportion to its length: tables are looked at so often, and parts made so many', () => {
    for (let seed = 1; seed <= 40; seed++) {
      const random = randomOf(seed);
      const grammar = randomGrammar(random);
      const unit = Array.from({ length: 6 }, () => random.pick(pieces)).join('');
      for (const text of [
        unit,
        `${unit} + `,
        `(${unit}) `,
        'not ',
        '(a or b and ',
        'a if b else ',
        'gt (',
        'tall ',
        '- ',
      ]) {
        const [short, long] = [200, 3200].map((length) => {
          const source = text.repeat(Math.ceil(length / text.length)).slice(0, length);
          const counted = counting(languageOf(grammar, NAMES));
          const { expr } = parseExpression(source, 0, counted.language);
          if (expr) expect(partsOf(expr).size).toBeLessThanOrEqual(2 * source.length + 8);
          return counted.looks() / source.length;
        }) as [number, number];
        expect(long, `${JSON.stringify(text)} in grammar ${seed}`).toBeLessThanOrEqual(Math.max(60, short * 2));
      }
    }
  });
});

/** The same language, counting how often its tables are looked at. */
function counting(language: Language): { language: Language; looks: () => number } {
  let looks = 0;
  const counted = <T extends { at(text: string, from: number): unknown }>(table: T): T =>
    new Proxy(table, {
      get(of, key) {
        const value = Reflect.get(of, key, of);
        if (key !== 'at' || typeof value !== 'function') return typeof value === 'function' ? value.bind(of) : value;
        return (text: string, from: number) => {
          looks++;
          return value.call(of, text, from);
        };
      },
    });
  const { between, before, words, parting, filters, names, functions } = language;
  return {
    language: {
      ...language,
      ...{ between: counted(between), before: counted(before), words: counted(words), parting: counted(parting) },
      ...{ filters: counted(filters), names: counted(names), functions: counted(functions) },
    },
    looks: () => looks,
  };
}

/** Whether an exact value is one of those that were said to be possible. */
function holds(all: Value, one: Value): boolean {
  if (all.type === 'unknown' || one.type === 'unknown') return true;
  if (all.type !== one.type) return false;
  if (all.type === 'number' && one.type === 'number') {
    const slack = 1e-9 * Math.max(1, Math.abs(one.lo));
    return all.lo - slack <= one.lo && one.hi <= all.hi + slack;
  }
  if (all.type === 'flag' && one.type === 'flag') return all.is === null || all.is === one.is;
  if (all.type === 'text' && one.type === 'text')
    return all.any === null || (one.any?.every((t) => all.any?.includes(t)) ?? true);
  return true;
}

describe('what bounds say holds for every value and every way in which a rule may turn out', () => {
  it('under random languages, rules and expressions', () => {
    let compared = 0;
    let decided = 0;
    for (let seed = 1; seed <= 1500; seed++) {
      const random = randomOf(seed);
      const grammar = randomGrammar(random);
      const open: Grammar = { ...grammar, rules: randomRules(random) };
      const source = expressionOf(random, open, 3);
      const { expr, problem } = parseExpression(source, 0, languageOf(open, NAMES));
      expect(problem, source).toBeNull();
      if (!expr) continue;
      const all = evaluate(expr, bounded);
      const truth = truthOf(expr, bounded);
      const [yes, no] = [narrow(expr, true, bounded), narrow(expr, false, bounded)];
      for (let i = 0; i < 8; i++) {
        const exactly = settled(random, open.rules as Rules);
        const read = parseExpression(source, 0, languageOf({ ...open, rules: exactly }, NAMES));
        const values = valuesOf(random);
        const env: Env = (name) => values.get(name);
        const one = read.expr ? evaluate(read.expr, env) : null;
        if (!one || !read.expr) throw new Error(source);
        const said = `${source}\n${JSON.stringify(open.rules)}\n${JSON.stringify(exactly)}\n${JSON.stringify([...values])}\n${JSON.stringify(all)} ${JSON.stringify(one)}`;
        expect(holds(all, one), said).toBe(true);
        const is = truthOf(read.expr, env);
        if (truth !== null && is !== null) expect(truth, said).toBe(is);
        if (is !== null) checkNarrowed(is ? yes : no, values, said);
        if (one.type !== 'unknown') compared++;
        if (all.type !== 'unknown' && (all.type !== 'flag' || all.is !== null)) decided++;
      }
    }
    expect(compared).toBeGreaterThan(3500);
    expect(decided).toBeGreaterThan(2500);
  });
});

/** What a condition says of names holds where it holds. */
function checkNarrowed(env: Env, values: ReadonlyMap<string, Value>, said: string): void {
  expect(env.facts?.impossible ?? false, said).toBe(false);
  for (const [name, value] of values) {
    const known = env(name);
    if (known) expect(holds(known, value), `${name}: ${said}`).toBe(true);
  }
}

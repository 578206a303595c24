import { describe, expect, it } from 'vitest';
import { conditionKey } from '../../../../server/src/placeholders/canonical.ts';
import { parseExpression } from '../../../../server/src/placeholders/expression.ts';
import { languageOf } from '../../../../server/src/placeholders/language.ts';
import { OURS } from '../../../../server/src/placeholders/ours.ts';
import { Speller } from '../../../../server/src/placeholders/spell.ts';
import { randomOf } from '../../analyze/random.ts';
import { grammar, operators } from './grammars.ts';
import { expressionOf, NAMES } from './randomExpression.ts';
import { randomGrammar, randomRules, settled } from './randomGrammar.ts';

/** An expression of our own language, written in another. */
const inLanguage = (source: string, to = OURS): string | null => {
  const { expr } = parseExpression(source, 0);
  return (expr && new Speller(to).whole(expr)?.text) ?? null;
};

const WORDS = grammar({
  operators: operators({
    and: 'and',
    or: 'or',
    not: 'not',
    '=': 'equal',
    '<': 'less',
    '-': 'subtract',
    '+': 'add',
    '*': 'multiply',
  }),
  choices: ['YES if CONDITION else NO'],
  calls: [{ is: 'filter', sign: '|', behind: ':' }],
  functions: new Map([['at_most', { is: 'ours', name: 'min' } as const]]),
});
const FRONT = grammar({
  operators: operators({ gt: 'more', lt: 'less', and: 'and', not: 'not' }),
  names: { marks: ['.'], letters: '', caseMatters: true },
  calls: [{ is: 'words' }],
  functions: new Map([['lesser', { is: 'ours', name: 'min' } as const]]),
});
const TABLE = grammar({
  operators: operators({ '=': 'equal', '-': 'subtract' }),
  choices: ['IF(CONDITION;YES;NO)'],
  calls: [{ is: 'brackets' }],
  functions: new Map([['LESSER', { is: 'ours', name: 'min' } as const]]),
});

describe('an expression in the words of another language', () => {
  it.each([
    ['min(a - 3, 40)', WORDS, 'a - 3 | at_most: 40'],
    ['min(a, 40) + 1', WORDS, '(a | at_most: 40) + 1'],
    ['a < 3 && (b == 4 || c)', WORDS, 'a < 3 and (b = 4 or c)'],
    ['!(a < 3)', WORDS, 'not (a < 3)'],
    ['a ? "x" : "y"', WORDS, '"x" if a else "y"'],
    ['(a - 1) - (b - 2)', WORDS, 'a - 1 - (b - 2)'],
    ['a > 3 && b < 4', FRONT, 'and (gt .a 3) (lt .b 4)'],
    ['min(a, 40)', FRONT, 'lesser .a 40'],
    ['a == 2 ? b - 8 : b', TABLE, 'IF(a = 2;b - 8;b)'],
    ['min(a, b, 40)', TABLE, 'LESSER(a;b;40)'],
    ['a && b || c && d', OURS, '(a && b) || (c && d)'],
    ['-(a + 1) * 2', OURS, '-(a + 1) * 2'],
    // Nothing there to write it with.
    ['max(a, 3)', WORDS, null],
    ['a ? 1 : 2', FRONT, null],
    ['a && b', TABLE, null],
    ['a % 2', WORDS, null],
  ])('%s', (source, to, written) => {
    expect(inLanguage(source, to)).toBe(written);
  });

  it('is read again as the same, in any language and by any rules', () => {
    let compared = 0;
    for (let seed = 1; seed <= 3000; seed++) {
      const random = randomOf(seed);
      const bare = randomGrammar(random);
      const own = { ...bare, rules: settled(random, randomRules(random)) };
      const language = languageOf(own, NAMES);
      const source = expressionOf(random, own, 3);
      const read = parseExpression(source, 0, language);
      const written = read.expr && !read.unfollowed ? new Speller(own).whole(read.expr) : null;
      if (!read.expr || !written) continue;
      const again = parseExpression(written.text, 0, language);
      const what = `${source} -> ${written.text}`;
      expect(again.unfollowed, what).toBeUndefined();
      expect(again.expr && conditionKey(again.expr), what).toEqual(conditionKey(read.expr));
      compared++;
    }
    expect(compared).toBeGreaterThan(1000);
  });
});

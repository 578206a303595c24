import { describe, expect, it } from 'vitest';
import { namesIn, parseExpression } from '../../../../server/src/placeholders/expression.ts';
import type { Grammar } from '../../../../server/src/placeholders/grammar.ts';
import { languageOf } from '../../../../server/src/placeholders/language.ts';
import { grammar, operators } from './grammars.ts';
import { shown } from './shown.ts';

// The forms in which placeholder languages write expressions, each read to the one tree. The languages are invented.

const COMMON = operators({
  ...{ or: 'or', '||': 'or', and: 'and', '&&': 'and', not: 'not', '!': 'not' },
  ...{ '=': 'equal', '==': 'equal', is: 'equal', '<>': 'notEqual', '!=': 'notEqual', 'is not': 'notEqual' },
  ...{ '<': 'less', '>': 'more', '<=': 'atMost', '>=': 'atLeast', '=~': 'matches' },
  ...{ '+': 'add', '-': 'subtract', '*': 'multiply', '/': 'divide', '%': 'remainder', '^': 'power', '..': 'join' },
  ...{ '??': 'otherwise', 'or else': 'otherwise' },
});
const STATED = { andOr: 'and first', notIsLast: true, power: 'before a sign' } as const;
const BASE = { operators: COMMON, rules: STATED };
const NAMES = [
  'tall',
  'hot',
  'wet',
  'name',
  'tips',
  'bed temp',
  'bed-temp',
  'bed',
  'fan%',
  '2nd tip',
  'Über',
  'plate.size',
  'my',
  'or lift',
];

const read = (source: string, own: Partial<Grammar> = {}, names = NAMES): string => {
  const { expr, problem } = parseExpression(source, 0, languageOf(grammar({ ...BASE, ...own } as never), names));
  return expr ? shown(expr) : `problem: ${problem?.message}`;
};

describe('operators by sign or word', () => {
  it.each([
    ['tall = 3 and hot', '((<tall> == 3) && <hot>)'],
    ['tall <> 3 or not hot', '((<tall> != 3) || (! <hot>))'],
    ['tall is not 3', '(<tall> != 3)'],
    ['tall is 3', '(<tall> == 3)'],
    ['name =~ "p.*"', '(<name> =~ "p.*")'],
    ['tall   is\tnot 3', '(<tall> != 3)'],
    ['tall or else 4', '(<tall> ?? 4)'],
    ['tall ?? hot + 1', '(<tall> ?? (<hot> + 1))'],
    ['"a" .. name .. 1', '(("a" ~ <name>) ~ 1)'],
    ['"n" .. tall + 1', '("n" ~ (<tall> + 1))'],
    ['hot or wet and tall', '(<hot> || (<wet> && <tall>))'],
    ['not hot = wet', '(! (<hot> == <wet>))'],
    ['!hot = wet', '((! <hot>) == <wet>)'],
    ['-tall ^ 2', '(- (<tall> ** 2))'],
    ['2 ^ tall ^ 2', '(2 ** (<tall> ** 2))'],
    ['2 - -3', '(2 - (- 3))'],
    ['android + 1', '(<android> + 1)'],
    ['tall >= 2 and tall <= 4', '((<tall> >= 2) && (<tall> <= 4))'],
  ])('%s', (source, tree) => expect(read(source)).toBe(tree));

  it('what is not stated keeps every way', () => {
    const open = { rules: {} } as never;
    expect(read('hot or wet and tall', open)).toBe('andOr{<hot> ||,&& <wet> ||,&& <tall>}');
    expect(read('hot or wet or tall', open)).toBe('((<hot> || <wet>) || <tall>)');
    expect(read('(hot or wet) and tall', open)).toBe('((<hot> || <wet>) && <tall>)');
    expect(read('not hot = wet', open)).toBe('notIsLast{<hot> == <wet>}');
    expect(read('not hot', open)).toBe('(! <hot>)');
    expect(read('-tall ^ 2', open)).toBe('power-{<tall> ** 2}');
    expect(read('2 ^ 3 ^ 2', open)).toBe('power{2 **,** 3 **,** 2}');
    expect(read('2 ^ 3', open)).toBe('(2 ** 3)');
    expect(read('hot or wet and tall', { rules: { andOr: 'left to right' } } as never)).toBe(
      '((<hot> || <wet>) && <tall>)',
    );
    expect(read('hot and wet or tall', { rules: { andOr: 'right to left' } } as never)).toBe(
      '(<hot> && (<wet> || <tall>))',
    );
  });
});

describe('values that hang on a condition', () => {
  it.each([
    ['tall if hot else 2', 'YES if CONDITION else NO', '(<hot> ? <tall> : 2)'],
    ['tall if hot', 'YES if CONDITION', '(<hot> ? <tall> : nothing)'],
    ['hot ? tall : wet ? 1 : 2', 'CONDITION ? YES : NO', '(<hot> ? <tall> : (<wet> ? 1 : 2))'],
    ['1 if hot else 2 if wet else 3', 'YES if CONDITION else NO', '(<hot> ? 1 : (<wet> ? 2 : 3))'],
    ['IF(hot; tall + 1; 2) + 1', 'IF(CONDITION; YES; NO)', '((<hot> ? (<tall> + 1) : 2) + 1)'],
    ['when hot take 1 or take 2', 'when CONDITION take YES or take NO', '(<hot> ? 1 : 2)'],
    ['tall + 1 if hot > 2 else 3 * 2', 'YES if CONDITION else NO', '((<hot> > 2) ? (<tall> + 1) : (3 * 2))'],
  ])('%s', (source, form, tree) => expect(read(source, { choices: [form] })).toBe(tree));

  it('with and without the other value, told apart by what follows', () => {
    const choices = ['YES if CONDITION else NO', 'YES if CONDITION'];
    expect(read('1 if hot', { choices })).toBe('(<hot> ? 1 : nothing)');
    expect(read('1 if hot else 2', { choices })).toBe('(<hot> ? 1 : 2)');
  });
});

describe('words, texts and names', () => {
  it.each([
    ['yes', 'true'],
    ['no', 'false'],
    ['none', 'nothing'],
    ["'it''s'", '"it\'s"'],
    ['"a \\" b"', '"a \\" b"'],
    ['bed temp + 1', '(<bed temp> + 1)'],
    ['bed-temp - tall', '(<bed-temp> - <tall>)'],
    ['bed - tall', '(<bed> - <tall>)'],
    ['fan% * 2', '(<fan%> * 2)'],
    ['tall % 2', '(<tall> % 2)'],
    ['2nd tip', '<2nd tip>'],
    ['Über / 2', '(<Über> / 2)'],
    ['plate.size', '<plate.size>'],
    ['or lift or hot', '(<or lift> || <hot>)'],
  ])('%s', (source, tree) => {
    const words = { true: ['yes'], false: ['no'], nothing: ['none'] };
    expect(read(source, { words, names: { marks: ['$'], letters: '-% ', caseMatters: true } })).toBe(tree);
  });

  it('a mark in front is no part of the name, and its place is that of the name', () => {
    const language = languageOf(
      grammar({ ...BASE, names: { marks: ['$', '.'], letters: '', caseMatters: true } }),
      NAMES,
    );
    const { expr } = parseExpression('$tall + .hot', 10, language);
    expect(expr && namesIn(expr)).toEqual([
      { name: 'tall', span: { start: 11, end: 15 } },
      { name: 'hot', span: { start: 19, end: 22 } },
    ]);
  });

  it('any case: the declared spelling is meant', () => {
    const names = { marks: [], letters: ' ', caseMatters: false } as const;
    expect(read('BED TEMP AND Hot', { names })).toBe('(<bed temp> && <hot>)');
    expect(read('TALL', { names: { ...names, caseMatters: true } })).toBe('<TALL>');
  });
});

describe('lists, keys and calls', () => {
  const functions: Grammar['functions'] = new Map([
    ['smaller of', { is: 'ours', name: 'min' }],
    ['round', { is: 'ours', name: 'round' }],
    ['show', { is: 'ours', name: 'fixed' }],
    ['default', { is: 'ours', name: 'default' }],
    ['pick', { is: 'number', range: { lo: 0, hi: 10 } }],
    ['label', { is: 'text' }],
  ]);
  const all: Partial<Grammar> = { functions, calls: [{ is: 'brackets' }, { is: 'filter', sign: '|', behind: ':' }] };
  const tight: Partial<Grammar> = { functions, calls: [{ is: 'filter', sign: '|', behind: '(' }] };
  const front: Partial<Grammar> = {
    functions,
    calls: [{ is: 'words' }],
    operators: operators({ gt: 'more', and: 'and', not: 'not' }),
  };
  const method: Partial<Grammar> = { functions, calls: [{ is: 'method' }] };

  it.each<[string, Partial<Grammar>, string]>([
    ['tips[0]', {}, '<tips>[0]'],
    ['tips.0', {}, '<tips>[0]'],
    ['tips[tall + 1] * 2', {}, '(<tips>[(<tall> + 1)] * 2)'],
    ['plate["size"]', {}, '<plate.size>'],
    ['tips[1].size', {}, '<tips>[1].size'],
    ['tips[name]', {}, '<tips>[<name>]'],
    ['[1, 2][0]', {}, '[1, 2][0]'],
    ['(1..3)', { operators: operators({ '+': 'add' }) }, '[1..3]'],
    ['smaller of(tall, 4) + 1', all, '(min(<tall>, 4) + 1)'],
    ['round(tall; 1)', all, 'round(<tall>, 1)'],
    ['tall + 1 | round: 2', all, 'round((<tall> + 1), 2)'],
    ['tall | round | pick: 1, 2', all, '?number(round(<tall>), 1, 2)'],
    ['tall + hot | round(2)', tight, '(<tall> + round(<hot>, 2))'],
    ['tall | default(4)', tight, '(<tall> ?? 4)'],
    ['-tall | round', tight, 'round((- <tall>))'],
    ['tall | show: "%.1f mm"', all, '(<tall>:1 ~ " mm")'],
    ['gt tall 40', front, '(<tall> > 40)'],
    ['and hot (gt tall -1)', front, '(<hot> && (<tall> > (- 1)))'],
    ['round tall 1', front, 'round(<tall>, 1)'],
    ['tall.show(2)', method, '<tall>:2'],
    ['(tall + 1).show(2)', method, '(<tall> + 1):2'],
    ['label(tall)', all, '?text(<tall>)'],
    ['unheard(tall, 1)', all, '?(<tall>, 1)'],
    ['tall | unheard', all, '?(<tall>)'],
  ])('%s', (source, own, tree) => expect(read(source, own)).toBe(tree));

  it.each([
    ['tall:.2f', ':.Nf', '<tall>:2'],
    ['tall + 1:.1f', ':.Nf', '(<tall> + 1):1'],
    ['tall:0.00', ':0.N', '<tall>:2'],
    ['tall:d', ':d', '<tall>:whole'],
  ])('a form for digits: %s', (source, form, tree) => expect(read(source, { formats: [form] })).toBe(tree));
});

describe('what cannot be followed is no fault of the text; what is half written is', () => {
  const language = languageOf(grammar({ ...BASE, calls: [{ is: 'brackets' }] }), NAMES);
  it.each([
    ['unheard(tall)', 'function', 'unheard'],
    ['tall @@ hot', 'form', 'tall @@ hot'],
    ['tall => hot', 'form', 'tall => hot'],
    ['1 < tall < 3', 'form', '1 < tall < 3'],
  ])('%s: its value is not known, and one place is kept', (source, is, written) => {
    const { expr, problem, unfollowed } = parseExpression(source, 4, language);
    expect(problem).toBeNull();
    expect(unfollowed).toMatchObject([{ is, written }]);
    // The declared names in it are still read, so that hover and rename find them.
    expect(expr && namesIn(expr).map(({ name }) => name)).toContain('tall');
  });

  it.each(['', 'tall +', '(tall', 'tips[0', '"a', 'unheard(tall', 'tall and', 'not'])('%s|', (source) => {
    const { expr, problem, unfollowed } = parseExpression(source, 4, language);
    expect(expr).toBeNull();
    expect(unfollowed).toBeUndefined();
    expect(problem?.message).toMatch(/ends too early|is empty/);
    expect(problem?.span.end).toBeLessThanOrEqual(4 + source.length);
  });

  it('4,000 characters and 100 levels are the most', () => {
    const long = parseExpression(`tall${' + 1'.repeat(1000)}`, 0, language);
    expect(long.problem?.message).toContain('4000 is the most');
    for (const source of [
      '('.repeat(1000),
      'not '.repeat(900),
      '-'.repeat(1000),
      'tips['.repeat(700),
      'a('.repeat(1000),
    ])
      expect(parseExpression(source, 0, language).problem?.message).toContain('100 is the most');
  });
});

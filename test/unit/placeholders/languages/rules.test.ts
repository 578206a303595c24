import { describe, expect, it } from 'vitest';
import { evaluate, truthOf } from '../../../../server/src/placeholders/evaluate.ts';
import { parseExpression } from '../../../../server/src/placeholders/expression.ts';
import { fill } from '../../../../server/src/placeholders/fill.ts';
import type { Grammar, Rules } from '../../../../server/src/placeholders/grammar.ts';
import { languageOf } from '../../../../server/src/placeholders/language.ts';
import type { Env, Value } from '../../../../server/src/placeholders/value.ts';
import { grammar, operators } from './grammars.ts';

// Rules that a text cannot show: while one is not stated the checks take both ways, and filling in asks for it by its
// name, only where what comes out hangs on it.

const OPERATORS = operators({
  ...{ or: 'or', and: 'and', not: 'not', '==': 'equal', '<': 'less', '>': 'more', '+': 'add', '-': 'subtract' },
  ...{
    '*': 'multiply',
    '/': 'divide',
    '//': 'wholeDivide',
    '%': 'remainder',
    '^': 'power',
    '~': 'join',
    '??': 'otherwise',
  },
});
const NAMES = ['n', 'm', 'zero', 'x', 'e', 't', 'f', 'no', 'l', 'nil', 'Bed Temp'];
const JOB = {
  n: 3,
  m: -7,
  zero: 0,
  x: 184.5,
  e: '',
  t: 'PLA',
  f: true,
  no: false,
  l: [4, 5, 6],
  nil: [],
  'Bed Temp': 60,
};
const languageWith = (rules: Partial<Rules>, own: Partial<Omit<Grammar, 'rules'>> = {}) =>
  languageOf(
    grammar({
      operators: OPERATORS,
      choices: ['YES if CONDITION else NO'],
      calls: [{ is: 'brackets' }],
      formats: [':.Nf'],
      functions: new Map([['round', { is: 'ours', name: 'round' }]]),
      ...own,
      rules,
    }),
    NAMES,
  );

const filled = (source: string, rules: Partial<Rules>, own: Partial<Omit<Grammar, 'rules'>> = {}) => {
  const { text, problems } = fill(`A{{ ${source} }}B`, JOB, { language: languageWith(rules, own) });
  return problems.length > 0
    ? problems.map(({ property, kind, message }) => `${kind} ${property ?? message}`).join()
    : text;
};

const WAYS: readonly (readonly [source: string, rule: keyof Rules, ways: readonly (readonly [unknown, string])[]])[] = [
  [
    '1 if zero else 2',
    'zeroHolds',
    [
      [true, 'A1B'],
      [false, 'A2B'],
    ],
  ],
  [
    '1 if e else 2',
    'emptyTextHolds',
    [
      [true, 'A1B'],
      [false, 'A2B'],
    ],
  ],
  [
    '1 if "0" else 2',
    'zeroTextHolds',
    [
      [true, 'A1B'],
      [false, 'A2B'],
    ],
  ],
  [
    '1 if nil else 2',
    'emptyListHolds',
    [
      [true, 'A1B'],
      [false, 'A2B'],
    ],
  ],
  [
    '(n + 4) / 2',
    'wholeDivision',
    [
      [true, 'A3B'],
      [false, 'A3.5B'],
    ],
  ],
  [
    'm // 2',
    'wholePart',
    [
      ['down', 'A-4B'],
      ['toward 0', 'A-3B'],
    ],
  ],
  [
    'm % n',
    'remainder',
    [
      ['as the left side', 'A-1B'],
      ['as the right side', 'A2B'],
    ],
  ],
  [
    'round(x)',
    'rounding',
    [
      ['up', 'A185B'],
      ['to even', 'A184B'],
      ['away from 0', 'A185B'],
    ],
  ],
  [
    'x:.0f',
    'rounding',
    [
      ['up', 'A185B'],
      ['to even', 'A184B'],
      ['away from 0', 'A185B'],
    ],
  ],
  [
    '-n ^ 2',
    'power',
    [
      ['before a sign', 'A-9B'],
      ['after a sign', 'A9B'],
      ['left to right', 'A9B'],
    ],
  ],
  [
    '2 ^ n ^ 2',
    'power',
    [
      ['before a sign', 'A512B'],
      ['after a sign', 'A512B'],
      ['left to right', 'A64B'],
    ],
  ],
  [
    '1 if f or f and no else 2',
    'andOr',
    [
      ['and first', 'A1B'],
      ['left to right', 'A2B'],
      ['right to left', 'A1B'],
    ],
  ],
  [
    '1 if no and f or f else 2',
    'andOr',
    [
      ['and first', 'A1B'],
      ['left to right', 'A1B'],
      ['right to left', 'A2B'],
    ],
  ],
  [
    '1 if not no == no else 2',
    'notIsLast',
    [
      [true, 'A2B'],
      [false, 'A2B'],
    ],
  ],
  [
    '1 if not f == f else 2',
    'notIsLast',
    [
      [true, 'A2B'],
      [false, 'A2B'],
    ],
  ],
  [
    'l',
    'bareList',
    [
      [{ is: 'first' }, 'A4B'],
      [{ is: 'joined', between: ', ', open: '[', close: ']' }, 'A[4, 5, 6]B'],
    ],
  ],
  [
    'f',
    'flagsWritten',
    [
      [{ true: 'True', false: 'False' }, 'ATrueB'],
      [{ true: 'true', false: 'false' }, 'AtrueB'],
    ],
  ],
  [
    '"5" + 1',
    'textPlusNumber',
    [
      ['joined', 'A51B'],
      ['sum', 'A6B'],
    ],
  ],
  [
    '6 / 2',
    'wholeAs',
    [
      ['3', 'A3B'],
      ['3.0', 'A3.0B'],
    ],
  ],
];

/** Rules that another one needs before its own way shows. */
const BESIDE: Partial<Rules> = {
  wholeDivision: false,
  wholeAs: '3',
  rounding: 'up',
  wholePart: 'down',
  remainder: 'as the left side',
};
const besides = (rule: keyof Rules): Partial<Rules> =>
  Object.fromEntries(Object.entries(BESIDE).filter(([key]) => key !== rule));

describe('filling in', () => {
  it.each(WAYS)('%s by %s', (source, rule, ways) => {
    for (const [way, text] of ways) expect(filled(source, { ...besides(rule), [rule]: way }), String(way)).toBe(text);
    const differ = new Set(ways.map(([, text]) => text)).size > 1;
    const asked = filled(source, besides(rule));
    expect(asked).toBe(differ ? `rule rules.${rule}` : ways[0]?.[1]);
  });

  it('asks for nothing that does not matter', () => {
    for (const source of [
      'n + 1',
      '1 if n else 2',
      '6 // 2',
      'n % 2',
      '1 if round(n) > 1 else 2',
      '1 if f or f else 2',
      '5 if zero else 5',
      'n ^ 2',
      't',
      '1 if t else 2',
    ])
      expect(filled(source, {}).startsWith('A'), `${source}: ${filled(source, {})}`).toBe(true);
  });

  it('a message says what it hangs on, the property and what may be written', () => {
    const { problems } = fill('S{{ x / 2 }}S{{ (n + 4) / 2 }}', JOB, { language: languageWith({}) });
    expect(problems).toMatchObject([{ kind: 'rule', property: 'rules.wholeDivision' }]);
    expect(problems[0]?.message).toBe(
      'What “(n + 4) / 2” gives depends on whether 7 / 2 is 3, which the vocabulary does not state. Add rules.wholeDivision: true or false.',
    );
  });

  it('a missing name: by the rule nothing, a stop, or the tag itself', () => {
    expect(filled('gone', { missing: 'nothing' })).toBe('AB');
    expect(filled('gone', { missing: 'stop' })).toContain('“gone” has no value in this job');
    expect(fill('A{{ gone }}B', JOB, { language: languageWith({ missing: 'the tag' }) }).text).toBe('A{{ gone }}B');
    expect(filled('gone', {})).toBe('missing rules.missing');
    expect(filled('gone ?? 4', {})).toBe('A4B');
    expect(filled('n ?? 4', {})).toBe('A3B');
  });

  it('the first index and the case of names are asked for where they decide', () => {
    expect(filled('l[1]', {}, { firstIndex: 0 })).toBe('A5B');
    expect(filled('l[1]', {}, { firstIndex: 1 })).toBe('A4B');
    expect(filled('l[1]', {}, { firstIndex: null })).toBe('rule expressions.firstIndex');
    const names = { marks: [], letters: ' ' };
    expect(filled('BED TEMP', {}, { names: { ...names, caseMatters: false } })).toBe('A60B');
    expect(filled('BED TEMP', {}, { names: { ...names, caseMatters: null } })).toContain(
      'rule expressions.names.caseMatters',
    );
    expect(filled('BED TEMP', { missing: 'stop' }, { names: { ...names, caseMatters: true } })).toContain(
      'has no value',
    );
  });

  it('nested values, and names with blanks, as the job file has them', () => {
    const job = { bed: { 'first layer': 60 }, 'max hot end': 240, tips: [{ size: 0.4 }] };
    const language = languageOf(grammar({ names: { marks: ['$'], letters: ' ', caseMatters: true } }), [
      'bed.first layer',
      'max hot end',
      'tips',
    ]);
    expect(fill('{{ $bed.first layer }} {{ $max hot end }} {{ $tips[0].size }}', job, { language }).text).toBe(
      '60 240 0.4',
    );
  });
});

describe('bounds', () => {
  const number = (lo: number, hi: number): Value => ({ type: 'number', lo, hi });
  const env: Env = (name) =>
    new Map<string, Value>([
      ['n', number(2, 5)],
      ['m', number(-7, 7)],
      ['zero', number(0, 0)],
      ['t', { type: 'text', any: ['PLA'] }],
      ['e', { type: 'text', any: ['', '0'] }],
      ['f', { type: 'flag', is: null }],
    ]).get(name);
  const boundsOf = (source: string, rules: Partial<Rules>): Value => {
    const { expr } = parseExpression(source, 0, languageWith(rules));
    if (!expr) throw new Error(source);
    return evaluate(expr, env);
  };
  const holds = (source: string, rules: Partial<Rules>): boolean | null => {
    const { expr } = parseExpression(source, 0, languageWith(rules));
    return expr ? truthOf(expr, env) : null;
  };

  it.each<[string, Partial<Rules>, number, number]>([
    ['7 / 2', {}, 3, 3.5],
    ['7 / 2', { wholeDivision: true }, 3, 3],
    ['7 / 2', { wholeDivision: false }, 3.5, 3.5],
    ['-7 / 2', {}, -4, -3],
    ['-7 / 2', { wholeDivision: true, wholePart: 'toward 0' }, -3, -3],
    ['7.5 / 2', {}, 3.75, 3.75],
    ['m % 3', {}, -3, 3],
    ['m % 3', { remainder: 'as the right side' }, 0, 3],
    ['-7 % 3', {}, -1, 2],
    ['n % 3', {}, 0, 3],
    ['-2 ^ 2', {}, -4, 4],
    ['round(184.5)', {}, 184, 185],
    ['round(184.4)', {}, 184, 184],
  ])('%s %j', (source, rules, lo, hi) => expect(boundsOf(source, rules)).toMatchObject({ type: 'number', lo, hi }));

  it.each<[string, Partial<Rules>, boolean | null]>([
    ['n', {}, true],
    ['m', {}, null],
    ['zero', {}, null],
    ['zero', { zeroHolds: false }, false],
    ['zero', { zeroHolds: true }, true],
    ['m', { zeroHolds: true }, true],
    ['t', {}, true],
    ['e', {}, null],
    ['f or n > 1 and f', {}, null],
    ['f or n > 1 and n > 1', {}, true],
    ['not n == 9', {}, null],
    ['not n == 9', { notIsLast: true }, true],
    ['t == "pla"', {}, null],
    ['t == "PLA"', {}, true],
    ['t == "PET"', {}, false],
    ['n == "3"', {}, null],
    ['gone', {}, null],
  ])('%s %j', (source, rules, is) => expect(holds(source, rules)).toBe(is));
});

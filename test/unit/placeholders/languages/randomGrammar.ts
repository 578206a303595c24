import type { CallForm, Grammar, Operation, Operator, Rules } from '../../../../server/src/placeholders/grammar.ts';
import { NO_LOOP_WORDS } from '../../../../server/src/placeholders/grammar.ts';
import { NO_RULES } from '../../../../server/src/placeholders/rules.ts';
import type { Random } from '../../analyze/random.ts';

/** How each operation may be written; no spelling stands for two operations. */
const SPELLINGS: Readonly<Record<Operation, readonly string[]>> = {
  or: ['or', '||', 'or else', 'OR'],
  and: ['and', '&&', 'as well as'],
  not: ['not', '!', 'never'],
  equal: ['==', '=', 'is', 'eq'],
  notEqual: ['<>', '!=', 'is not', '~='],
  less: ['<', 'lt', 'below'],
  atMost: ['<=', 'le', 'at most'],
  more: ['>', 'gt', 'above'],
  atLeast: ['>=', 'ge'],
  add: ['+', 'plus'],
  subtract: ['-', 'minus'],
  multiply: ['*', 'times'],
  divide: ['/', 'over'],
  wholeDivide: ['//', 'div'],
  remainder: ['%', 'mod'],
  power: ['^', '**'],
  join: ['~', '&', '++'],
  matches: ['=~', 'matches'],
  otherwise: ['??', 'otherwise', ':-'],
};

/** A language at random: each operation in one or two of its spellings, some forms of the rest. */
export function randomGrammar(random: Random): Grammar {
  const operators = (Object.keys(SPELLINGS) as Operation[]).flatMap((does): Operator[] => {
    const spellings = SPELLINGS[does];
    const first = random.pick(spellings);
    const second = random.next() < 0.3 ? random.pick(spellings) : first;
    return [...new Set([first, second])].map((written) => ({ written, does }));
  });
  const calls: CallForm[] = [
    ...(random.next() < 0.7 ? [{ is: 'brackets' } as const] : []),
    ...(random.next() < 0.3 ? [{ is: 'method' } as const] : []),
    ...(random.next() < 0.4 ? [{ is: 'filter', sign: '|', behind: random.pick([':', '('] as const) } as const] : []),
    ...(random.next() < 0.2 ? [{ is: 'words' } as const] : []),
  ];
  return {
    operators,
    choices: [
      random.pick([
        'YES if CONDITION else NO',
        'CONDITION ? YES : NO',
        'IF(CONDITION; YES; NO)',
        'when CONDITION take YES or take NO',
      ]),
    ],
    words: { true: [random.pick(['true', 'yes'])], false: [random.pick(['false', 'no'])], nothing: ['none'] },
    quotes: random.pick([['"', "'"], ['"'], ["'"]]),
    names: {
      marks: random.pick([[], ['$'], ['.']]),
      letters: random.pick(['', '-', '- ', '%']),
      caseMatters: random.pick([true, false, null]),
    },
    calls,
    functions: new Map([
      ['smaller of', { is: 'ours', name: 'min' }],
      ['larger', { is: 'ours', name: 'max' }],
      ['rounded', { is: 'ours', name: 'round' }],
      ['pick', { is: 'number', range: { lo: 0, hi: 10 } }],
      ['label', { is: 'text' }],
    ]),
    formats: random.pick([[], [':.Nf'], [':0.N', ':d']]),
    formatsBehind: [],
    loops: NO_LOOP_WORDS,
    firstIndex: random.pick([0, 1, null]),
    rules: NO_RULES,
  };
}

const WAYS: { readonly [rule in keyof Rules]: readonly NonNullable<Rules[rule]>[] } = {
  zeroHolds: [true, false],
  emptyTextHolds: [true, false],
  emptyListHolds: [true, false],
  zeroTextHolds: [true, false],
  wholeDivision: [true, false],
  wholePart: ['down', 'toward 0'],
  rounding: ['up', 'to even', 'away from 0'],
  remainder: ['as the left side', 'as the right side'],
  power: ['before a sign', 'after a sign', 'left to right'],
  andOr: ['and first', 'left to right', 'right to left'],
  notIsLast: [true, false],
  missing: ['nothing', 'stop', 'the tag'],
  setInLoopHolds: [true, false],
  bareList: [{ is: 'first' }, { is: 'joined', between: ',', open: '', close: '' }],
  flagsWritten: [
    { true: 'true', false: 'false' },
    { true: 'True', false: 'False' },
  ],
  wholeAs: ['3', '3.0'],
  textPlusNumber: ['joined', 'sum'],
};

const each = (of: (rule: keyof Rules) => unknown): Rules =>
  Object.fromEntries(Object.keys(WAYS).map((rule) => [rule, of(rule as keyof Rules)])) as unknown as Rules;

/** Some rules stated, the others not. */
export const randomRules = (random: Random): Rules =>
  each((rule) => (random.next() < 0.5 ? null : random.pick(WAYS[rule] as readonly unknown[])));

/** The same rules, those that were not stated at random: what a program does in truth. */
export const settled = (random: Random, rules: Rules): Rules =>
  each((rule) => rules[rule] ?? random.pick(WAYS[rule] as readonly unknown[]));

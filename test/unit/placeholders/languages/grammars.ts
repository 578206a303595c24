import {
  type Grammar,
  type LanguageFunction,
  NO_LOOP_WORDS,
  type Operator,
  type Rules,
} from '../../../../server/src/placeholders/grammar.ts';
import { NO_RULES } from '../../../../server/src/placeholders/rules.ts';

// General template languages as `Grammar` values: what their own documents say of them, as far as tests need it.

export const operators = (table: Record<string, Operator['does']>): Operator[] =>
  Object.entries(table).map(([written, does]) => ({ written, does }));

export const grammar = (own: Partial<Omit<Grammar, 'rules'>> & { readonly rules?: Partial<Rules> }): Grammar => ({
  operators: [],
  choices: [],
  words: { true: ['true'], false: ['false'], nothing: [] },
  quotes: ['"', "'"],
  names: { marks: [], letters: '', caseMatters: true },
  calls: [],
  functions: new Map(),
  formats: [],
  formatsBehind: [],
  loops: NO_LOOP_WORDS,
  firstIndex: 0,
  ...own,
  rules: { ...NO_RULES, ...own.rules },
});

const ours = (table: Record<string, string>): Map<string, LanguageFunction> =>
  new Map(Object.entries(table).map(([written, name]) => [written, { is: 'ours', name } as LanguageFunction]));

const COMPARISONS = {
  '<': 'less',
  '<=': 'atMost',
  '>': 'more',
  '>=': 'atLeast',
  '==': 'equal',
  '!=': 'notEqual',
} as const;
const SUMS = { '+': 'add', '-': 'subtract', '*': 'multiply', '/': 'divide', '%': 'remainder' } as const;

/** nunjucks 3: JavaScript's values, words for operators, filters behind `|`. */
export const NUNJUCKS: Grammar = grammar({
  operators: operators({
    ...{ or: 'or', and: 'and', not: 'not', ...COMPARISONS, ...SUMS },
    ...{ '//': 'wholeDivide', '**': 'power', '~': 'join' },
  }),
  choices: ['YES if CONDITION else NO', 'YES if CONDITION'],
  words: { true: ['true'], false: ['false'], nothing: ['none'] },
  calls: [{ is: 'filter', sign: '|', behind: '(' }],
  functions: ours({
    ...{ round: 'round', abs: 'abs', default: 'default', length: 'length', first: 'first', last: 'last', join: 'join' },
    ...{ upper: 'upper', lower: 'lower' },
  }),
  rules: {
    ...{
      zeroHolds: false,
      zeroTextHolds: true,
      emptyTextHolds: false,
      emptyListHolds: true,
      wholeDivision: false,
      rounding: 'up',
    },
    ...{
      wholePart: 'down',
      remainder: 'as the left side',
      power: 'left to right',
      andOr: 'and first',
      notIsLast: true,
      missing: 'nothing',
    },
    ...{ setInLoopHolds: true, bareList: { is: 'joined', between: ',', open: '', close: '' }, wholeAs: '3' },
    ...{ flagsWritten: { true: 'true', false: 'false' }, textPlusNumber: 'joined' },
  },
});

/** Liquid, as liquidjs has it: filters alone reckon; and, or from right to left; only false and nothing do not hold. */
export const LIQUID: Grammar = grammar({
  operators: operators({ or: 'or', and: 'and', not: 'not', ...COMPARISONS }),
  words: { true: ['true'], false: ['false'], nothing: ['nil', 'null'] },
  calls: [{ is: 'filter', sign: '|', behind: ':' }],
  functions: ours({
    round: 'round',
    floor: 'floor',
    ceil: 'ceil',
    abs: 'abs',
    default: 'filled',
    size: 'length',
    first: 'first',
    last: 'last',
    join: 'join',
    upcase: 'upper',
    downcase: 'lower',
  }),
  rules: {
    ...{
      zeroHolds: true,
      zeroTextHolds: true,
      emptyTextHolds: true,
      emptyListHolds: true,
      wholeDivision: false,
      rounding: 'up',
    },
    ...{
      remainder: 'as the left side',
      andOr: 'right to left',
      notIsLast: true,
      missing: 'nothing',
      setInLoopHolds: true,
    },
    ...{
      bareList: { is: 'joined', between: '', open: '', close: '' },
      wholeAs: '3',
      flagsWritten: { true: 'true', false: 'false' },
    },
  },
});

/** What ejs evaluates: ECMA-262 itself. */
export const EJS: Grammar = grammar({
  operators: [
    ...operators({ '||': 'or', '&&': 'and', '!': 'not', ...COMPARISONS, ...SUMS, '**': 'power', '??': 'otherwise' }),
    { written: '===', does: 'equal', strict: true },
    { written: '!==', does: 'notEqual', strict: true },
  ],
  choices: ['CONDITION ? YES : NO'],
  words: { true: ['true'], false: ['false'], nothing: ['null', 'undefined'] },
  calls: [{ is: 'brackets' }, { is: 'method' }],
  functions: ours({
    ...{ 'Math.min': 'min', 'Math.max': 'max', 'Math.abs': 'abs', 'Math.round': 'round', 'Math.floor': 'floor' },
    ...{
      'Math.ceil': 'ceil',
      'Math.trunc': 'trunc',
      toFixed: 'fixed',
      toUpperCase: 'upper',
      toLowerCase: 'lower',
      join: 'join',
    },
  }),
  rules: {
    ...{
      zeroHolds: false,
      zeroTextHolds: true,
      emptyTextHolds: false,
      emptyListHolds: true,
      wholeDivision: false,
      rounding: 'up',
    },
    ...{ remainder: 'as the left side', power: 'before a sign', andOr: 'and first', missing: 'nothing', wholeAs: '3' },
    ...{
      bareList: { is: 'joined', between: ',', open: '', close: '' },
      flagsWritten: { true: 'true', false: 'false' },
    },
    ...{ textPlusNumber: 'joined' },
  },
});

/** Handlebars: a helper and what it takes, with nothing between; brackets inside. */
export const HANDLEBARS: Grammar = grammar({
  operators: operators({
    or: 'or',
    and: 'and',
    not: 'not',
    gt: 'more',
    lt: 'less',
    eq: 'equal',
    add: 'add',
    mul: 'multiply',
  }),
  calls: [{ is: 'words' }],
  functions: ours({ least: 'min', most: 'max', rounded: 'round', digits: 'fixed' }),
  names: { marks: ['@'], letters: '', caseMatters: true },
  rules: {
    ...{
      zeroHolds: false,
      zeroTextHolds: true,
      emptyTextHolds: false,
      emptyListHolds: false,
      wholeDivision: false,
      rounding: 'up',
      missing: 'nothing',
    },
    ...{
      wholeAs: '3',
      flagsWritten: { true: 'true', false: 'false' },
      andOr: 'and first',
      notIsLast: false,
      textPlusNumber: 'joined',
    },
    ...{ bareList: { is: 'joined', between: ',', open: '', close: '' } },
  },
});

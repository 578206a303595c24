import { FUNCTIONS, type FunctionName } from '../placeholders/expression.ts';
import type { Grammar, Operation, Rules } from '../placeholders/grammar.ts';

/** Operators of Bookend's own expressions, a subset of ECMAScript's (ECMA-262 clause 13). */
const OPERATORS: Readonly<Partial<Record<Operation, readonly string[]>>> = {
  or: ['||'],
  and: ['&&'],
  not: ['!'],
  equal: ['==', '==='],
  notEqual: ['!=', '!=='],
  less: ['<'],
  atMost: ['<='],
  more: ['>'],
  atLeast: ['>='],
  add: ['+'],
  subtract: ['-'],
  multiply: ['*'],
  divide: ['/'],
  remainder: ['%'],
};

/** No rule is stated. */
export const NO_RULES: Rules = {
  zeroHolds: null,
  emptyTextHolds: null,
  emptyListHolds: null,
  wholeDivision: null,
  rounding: null,
  remainder: null,
  power: null,
  andOr: null,
  notIsLast: null,
  missing: null,
  setInLoopHolds: null,
  bareList: null,
  flagsWritten: null,
  wholeAs: null,
  textPlusNumber: null,
};

/** The grammar of Bookend's own expressions: what holds where a vocabulary file does not say. */
export const OUR_GRAMMAR: Grammar = {
  operators: (Object.entries(OPERATORS) as [Operation, readonly string[]][]).flatMap(([does, all]) =>
    all.map((written) => ({ written, does })),
  ),
  choices: ['CONDITION ? YES : NO'],
  words: { true: ['true'], false: ['false'], nothing: [] },
  quotes: ['"', "'"],
  names: { marks: [], letters: '$', caseMatters: true },
  calls: [{ is: 'brackets' }],
  functions: new Map((Object.keys(FUNCTIONS) as FunctionName[]).map((name) => [name, { is: 'ours', name }] as const)),
  formats: [],
  firstIndex: 0,
  rules: null,
};

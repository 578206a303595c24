import { type Grammar, NO_LOOP_WORDS } from './grammar.ts';
import type { Rules } from './rules.ts';

const FUNCTION_NAMES = ['min', 'max', 'abs', 'round', 'floor', 'ceil'] as const;

/** Our own language: the subset of ECMA-262 expressions (clause 13) that tags are written in where nothing else is declared. */
export const OURS: Grammar = {
  operators: [
    { written: '||', does: 'or' },
    { written: '&&', does: 'and' },
    { written: '!', does: 'not' },
    { written: '==', does: 'equal' },
    { written: '===', does: 'equal', strict: true },
    { written: '!=', does: 'notEqual' },
    { written: '!==', does: 'notEqual', strict: true },
    { written: '<', does: 'less' },
    { written: '<=', does: 'atMost' },
    { written: '>', does: 'more' },
    { written: '>=', does: 'atLeast' },
    { written: '+', does: 'add' },
    { written: '-', does: 'subtract' },
    { written: '*', does: 'multiply' },
    { written: '/', does: 'divide' },
    { written: '%', does: 'remainder' },
  ],
  choices: ['CONDITION ? YES : NO'],
  words: { true: ['true'], false: ['false'], nothing: [] },
  quotes: ['"', "'"],
  names: { marks: [], letters: '$', caseMatters: true },
  calls: [{ is: 'brackets' }],
  functions: new Map(FUNCTION_NAMES.map((name) => [name, { is: 'ours', name }])),
  formats: [],
  formatsBehind: [],
  loops: NO_LOOP_WORDS,
  firstIndex: 0,
  rules: null,
};

/** What holds in our own language (ECMA-262), for one that has only its statements from elsewhere. */
export const OUR_RULES: Rules = {
  zeroHolds: false,
  emptyTextHolds: false,
  // As in the Mustache specification.
  emptyListHolds: false,
  zeroTextHolds: true,
  wholeDivision: false,
  wholePart: 'toward 0',
  rounding: 'up',
  remainder: 'as the left side',
  power: 'before a sign',
  andOr: 'and first',
  notIsLast: false,
  missing: 'stop',
  setInLoopHolds: true,
  bareList: null,
  flagsWritten: { true: 'true', false: 'false' },
  wholeAs: '3',
  textPlusNumber: 'joined',
};

/** Words that ECMA-262 keeps for itself (12.7.2), so that they are no names. */
export const RESERVED: ReadonlySet<string> = new Set(
  `break case catch class const continue debugger default delete do else enum export extends false finally for function if
   import in instanceof new null return super switch this throw true try typeof var void while with`.split(/\s+/),
);

/** Signs and words that ECMA-262 has for operators and we do not, the longest first. */
export const REFUSED =
  /(?:>>>=|\*\*=|<<=|>>=|>>>|&&=|\|\|=|\?\?=|\*\*|<<|>>|\?\?|\+=|-=|\*=|\/=|%=|&=|\|=|\^=|=>|\+\+|--|[&|^~=])|(?:in|instanceof)(?![\p{L}\p{N}_$])/uy;

import {
  Array as ArrayOf,
  Boolean as Bool,
  Literal,
  Number as Num,
  Object as Obj,
  Optional,
  Record as Rec,
  String as Text,
  Union,
  Unknown,
} from '@sinclair/typebox';
import { about, choice, text } from '../machineFile/schemaParts.ts';
import type { Operation } from '../placeholders/grammar.ts';
import type { StatementForm } from '../syntax/tagStyle.ts';

// How the vocabulary file describes a placeholder language: its tags, its statements, its expressions, and the rules
// that no text of it shows. Examples are of invented languages.

/** More ways than this to write one thing are no language that a person uses. */
const MOST_WAYS = 20;
/** Longest sign, word or form. */
const LONGEST = 80;

const WAY = { minLength: 1, maxLength: LONGEST };
/** A text, or a list of texts: all ways to write one thing. */
const ways = (title: string, description: string, example: string) =>
  Optional(
    Union(
      [
        Text({ title: 'Written', description: 'How it is written.', examples: [example], ...WAY }),
        ArrayOf(Text({ title: 'Written', description: 'One way to write it.', examples: [example], ...WAY }), {
          title: 'Ways',
          description: 'Every way to write it.',
          examples: [[example]],
          minItems: 1,
          maxItems: MOST_WAYS,
        }),
      ],
      about(title, description, { examples: [example] }),
    ),
  );
type Ways = ReturnType<typeof ways>;

const signs = (title: string, description: string, examples: string[], most = MOST_WAYS) =>
  Optional(
    ArrayOf(Text({ title: 'Sign', description: 'One of them.', examples, minLength: 1, maxLength: 20 }), {
      ...about(title, description, { examples: [examples] }),
      maxItems: most,
    }),
  );
const flag = (title: string, description: string) =>
  Optional(Bool(about(title, `${description} Left out: not known.`, { examples: [true] })));
const oneOf = <T extends string>(title: string, description: string, choices: Readonly<Record<T, string>>) => {
  const entries = Object.entries(choices) as [T, string][];
  return Optional(
    Union(
      entries.map(([value, means]) => choice(value, means)),
      about(title, `${description} Left out: not known.`, { examples: [entries[0]?.[0]] }),
    ),
  );
};

const statement: Readonly<Record<StatementForm['is'], readonly [string, string, string]>> = {
  if: [
    'If',
    'Opens a section that is included if a condition is true. CONDITION is where the condition is written; without it, behind the word. Left out: the marks # and ^.',
    'when',
  ],
  unless: ['Unless', 'Opens a section that is included if a condition is false. Left out: the mark ^.', 'unless'],
  elseIf: [
    'Else if',
    'The next branch, included if none before it is and its condition is true. Left out: there is none.',
    'or when',
  ],
  else: ['Else', 'The last branch, included if none before it is. Left out: there is none.', 'otherwise'],
  each: [
    'For each',
    'Opens a section that is included once for each element of a list. LIST is the list, ITEM the name of the element, INDEX the name of its number. Left out: the mark #.',
    'for each ITEM in LIST',
  ],
  switch: [
    'Switch',
    'Opens a section of which the branch with an equal value is included. Left out: there is none.',
    'choose by VALUE',
  ],
  case: ['Case', 'A branch of such a section, with its value or values. Left out: there is none.', 'is'],
  set: [
    'Set',
    'Gives a name a value from this line on. NAME and VALUE are where they are written. Left out: there is none.',
    'set NAME = VALUE',
  ],
  include: [
    'Include',
    'Puts another text in, which Bookend does not know. NAME is what it is called. Left out: the mark >.',
    'include NAME',
  ],
  end: ['End', 'Closes a section of any kind. Left out: the mark /.', 'done'],
};
const statements = Object.fromEntries(
  Object.entries(statement).map(([is, [title, description, example]]) => [is, ways(title, description, example)]),
) as Readonly<Record<StatementForm['is'], Ways>>;

const operation: Readonly<Record<Operation, readonly [string, string]>> = {
  or: ['one of the two is true', 'or'],
  and: ['both are true', 'and'],
  not: ['the value behind it is false', 'not'],
  equal: ['both are equal', '='],
  notEqual: ['they differ', '<>'],
  less: ['the left one is smaller', '<'],
  atMost: ['the left one is smaller, or both are equal', '<='],
  more: ['the left one is larger', '>'],
  atLeast: ['the left one is larger, or both are equal', '>='],
  add: ['the sum', '+'],
  subtract: ['the difference; also the sign of one value', '-'],
  multiply: ['the product', '*'],
  divide: ['the quotient', '/'],
  wholeDivide: ['the quotient without its fraction', 'div'],
  remainder: ['the remainder of a division', 'mod'],
  power: ['the left one to the power of the right one', '**'],
  join: ['both as one text', '~'],
  matches: ['whether the text on the left has the pattern on the right', 'like'],
  otherwise: ['the left one, or the right one if it is missing', 'or else'],
};
const operators = Object.fromEntries(
  Object.entries(operation).map(([does, [gives, example]]) => [
    does,
    ways(
      does.charAt(0).toUpperCase() + does.slice(1).replace(/[A-Z]/g, (capital) => ` ${capital.toLowerCase()}`),
      `Gives: ${gives}. Left out: as in Bookend’s own expressions, or not at all where these have none.`,
      example,
    ),
  ]),
) as Readonly<Record<Operation, Ways>>;

const FUNCTIONS = about(
  'Functions',
  'Functions by the language’s own names, each with the one of Bookend’s that does the same (min, max, abs, round, floor, ceil; also trunc without the fraction, fixed with so many digits, default and filled for a missing value, length, first, last and join of lists, upper and lower of texts), or with what is known of its result. Left out: those of Bookend by their own names.',
  { examples: [{ lesser: 'min', pick: { gives: 'number', range: [0, 10] }, label: { gives: 'text' } }] },
);
const functions = Rec(
  Text(),
  Union([
    Text(about('Stands for', 'The function of Bookend’s that does the same.', { examples: ['min'] })),
    Obj(
      {
        gives: Union(
          [choice('number', 'A number.'), choice('text', 'A text.'), choice('flag', 'true or false.')],
          about('Gives', 'What the result is.', { examples: ['number'] }),
        ),
        range: Optional(
          ArrayOf(Num({ title: 'End', description: 'One end.', examples: [0] }), {
            ...about('Range', 'The smallest and the largest number that it gives. Left out: any.', {
              examples: [[0, 10]],
            }),
            minItems: 2,
            maxItems: 2,
          }),
        ),
      },
      about('Known of the result', 'A function that Bookend cannot work out.', { examples: [{ gives: 'text' }] }),
    ),
  ]),
  FUNCTIONS,
);
const BARE_LIST = about(
  'Bare list',
  'What a list gives that is written out as it is: "first" for its first element, or three texts: before all elements, between two, after all. Left out: not known.',
  { examples: ['first', ['[', ', ', ']']] },
);
/** What a bare list gives, as it may be written. */
export const BARE_LIST_SCHEMA = Union(
  [
    Literal('first', { title: 'First', description: 'Its first element.' }),
    ArrayOf(Text({ title: 'Text', description: 'One of the three.', examples: [', '], maxLength: 20 }), {
      ...about('Joined', 'All elements, with these texts before, between and after.', { examples: [['[', ', ', ']']] }),
      minItems: 3,
      maxItems: 3,
    }),
  ],
  BARE_LIST,
);

const expressions = {
  operators: Optional(
    Obj(
      operators,
      about('Operators', 'How operators are written, by sign or word. Left out: as in Bookend’s own expressions.', {
        examples: [{ and: ['and', '&&'], or: 'or', equal: '=', notEqual: '<>' }],
      }),
    ),
  ),
  choice: ways(
    'Choice',
    'How a value hangs on a condition: YES, CONDITION and NO stand for its parts. Left out: CONDITION ? YES : NO.',
    'YES if CONDITION else NO',
  ),
  true: ways('True', 'What is true. Left out: true.', 'yes'),
  false: ways('False', 'What is false. Left out: false.', 'no'),
  nothing: ways('Nothing', 'A value that is missing. Left out: there is no word for it.', 'none'),
  quotes: signs('Quotes', 'What texts stand in. Left out: " and \'.', ['"', "'"]),
  names: Optional(
    Obj(
      {
        marks: signs('Marks', 'Signs in front of a name that are not part of it. Left out: there are none.', ['$']),
        letters: Optional(
          text(
            'Letters',
            'Characters that a name may hold beside letters, digits, _ and the dot. Left out: there are none.',
            ['-% '],
            { maxLength: 40 },
          ),
        ),
        caseMatters: Optional(
          Bool(
            about('Case matters', 'Whether Lift and lift are two names. Left out: they are.', { examples: [false] }),
          ),
        ),
      },
      about('Names', 'How names are written. Left out: letters, digits, _ and dots.', {
        examples: [{ marks: ['$'], letters: '-' }],
      }),
    ),
  ),
  calls: signs(
    'Calls',
    'How functions are called, in one or several of these forms: f(a, b) with brackets, a.f(b) behind a dot, a | f: b or a | f(b) behind a sign, f a b in front without brackets. Left out: f(a, b).',
    ['f(a, b)', 'a | f: b'],
  ),
  formats: signs(
    'Formats',
    'How the form of a number is written behind a value inside the tag. N is the number of digits after the point. Without N: d or i cut the fraction off, f gives six digits, others leave the value as it is. Left out: not at all.',
    [':.Nf', ':d'],
  ),
  formatsBehind: signs(
    'Formats behind',
    'The same directly behind the delimiter that closes a tag, where they are part of the tag. Left out: not at all.',
    ['d', '.Nf'],
  ),
  loops: Optional(
    Obj(
      {
        item: ways('Item', 'The element. Left out: only the name that the loop gives it, or a dot.', 'this'),
        indexFrom0: ways(
          'Index from 0',
          'The number of the element; the first is 0. Left out: there is none.',
          '@index',
        ),
        indexFrom1: ways('Index from 1', 'The number of the element; the first is 1. Left out: there is none.', 'turn'),
        isFirst: ways('Is first', 'Whether it is the first element. Left out: there is none.', '@first'),
        isLast: ways('Is last', 'Whether it is the last element. Left out: there is none.', '@last'),
      },
      about('Loops', 'Names that have a meaning inside every loop. Left out: there are none.', {
        examples: [{ item: 'this', indexFrom0: '@index' }],
      }),
    ),
  ),
  firstIndex: Optional(
    Union(
      [
        Literal(0, { title: '0', description: 'The first element is number 0.' }),
        Literal(1, { title: '1', description: 'The first element is number 1.' }),
      ],
      about('First index', 'The number of a list’s first element. Left out: not known.', { examples: [0] }),
    ),
  ),
};
const EXPRESSIONS = about(
  'Expressions',
  'How expressions are written. Left out: as Bookend’s own: numbers, names, + - * / %, comparisons, && || !, ?: and functions.',
  { examples: [{ operators: { and: 'and', or: 'or', not: 'not' }, choice: 'YES if CONDITION else NO' }] },
);

const rules = {
  zeroHolds: flag('Zero holds', 'Whether 0 counts as true in a condition.'),
  emptyTextHolds: flag('Empty text holds', 'Whether a text without characters counts as true.'),
  emptyListHolds: flag('Empty list holds', 'Whether a list without elements counts as true.'),
  zeroTextHolds: flag('Zero text holds', 'Whether the text "0" counts as true.'),
  wholeDivision: flag('Whole division', 'Whether 7 / 2 is 3.'),
  wholePart: oneOf('Whole part', 'Where a negative quotient without its fraction goes.', {
    down: '-7 / 2 gives -4.',
    'toward 0': '-7 / 2 gives -3.',
  }),
  rounding: oneOf('Rounding', 'Where halves go when a value is rounded.', {
    up: '2.5 gives 3, -2.5 gives -2.',
    'to even': '2.5 gives 2, 3.5 gives 4.',
    'away from 0': '2.5 gives 3, -2.5 gives -3.',
  }),
  remainder: oneOf('Remainder', 'Which sign the remainder of a division has.', {
    'as the left side': '-7 % 3 gives -1.',
    'as the right side': '-7 % 3 gives 2.',
  }),
  power: oneOf('Power', 'How a power goes with a sign before it, and with a second power.', {
    'before a sign': '-2 ** 2 gives -4, 2 ** 3 ** 2 gives 512.',
    'after a sign': '-2 ** 2 gives 4, 2 ** 3 ** 2 gives 512.',
    'left to right': '-2 ** 2 gives 4, 2 ** 3 ** 2 gives 64.',
  }),
  andOr: oneOf('And, or', 'How “and” and “or” group without brackets.', {
    'and first': 'a or b and c is a or (b and c).',
    'left to right': 'a or b and c is (a or b) and c.',
    'right to left': 'a and b or c is a and (b or c).',
  }),
  notIsLast: flag('Not is last', 'Whether “not a = b” is not (a = b). Otherwise it is (not a) = b.'),
  missing: oneOf('Missing', 'What is written for a name without a value.', {
    nothing: 'Nothing.',
    stop: 'Nothing is filled in at all.',
    'the tag': 'The tag itself.',
  }),
  setInLoopHolds: flag('Set in a loop holds', 'Whether a name that is set in a loop keeps its value below it.'),
  flagsWritten: Optional(
    ArrayOf(Text({ title: 'Text', description: 'One of the two.', examples: ['true'], maxLength: 20 }), {
      ...about('Flags written', 'How true and false are written out, in this order. Left out: not known.', {
        examples: [['true', 'false']],
      }),
      minItems: 2,
      maxItems: 2,
    }),
  ),
  wholeAs: oneOf('Whole as', 'How a whole number is written that a division gave.', {
    '3': 'Without a fraction.',
    '3.0': 'With a fraction.',
  }),
  textPlusNumber: oneOf('Text plus number', 'What "5" + 1 gives.', { joined: 'The text 51.', sum: 'The number 6.' }),
};
const RULES = about(
  'Rules',
  'What no text shows of the language. Left out as a whole: as in Bookend’s own expressions. A rule that is left out among others is not known: checks then take both answers, and filling in asks.',
  { examples: [{ zeroHolds: true, wholeDivision: false, missing: 'nothing' }] },
);

const plain = {
  keywords: Optional(
    Obj(
      statements,
      about(
        'Keywords',
        'How sections, loops and settings are written inside the delimiters. Words in capitals (CONDITION, ITEM, INDEX, LIST, NAME, VALUE) stand for what is put in. Left out: by the marks of the Mustache specification, # ^ and /.',
        { examples: [{ if: 'when', elseIf: 'or when', else: 'otherwise', end: 'done' }] },
      ),
    ),
  ),
  lineStatements: signs('Line statements', 'Signs that make a whole line a statement. Left out: there are none.', [
    '@',
  ]),
  escapes: Optional(
    Rec(
      Text(),
      Text({ title: 'Gives', description: 'What is filled in.', examples: ['{{'], maxLength: 20 }),
      about('Escapes', 'What stands for a sign itself, and the sign. Left out: there are none.', {
        examples: [{ '{{{{': '{{', $$: '$' }],
      }),
    ),
  ),
  raw: Optional(
    ArrayOf(
      ArrayOf(Text({ title: 'End', description: 'One end.', examples: ['{% raw %}'], minLength: 1, maxLength: 40 }), {
        ...about('Stretch', 'What begins and what ends it.', { examples: [['{% raw %}', '{% endraw %}']] }),
        minItems: 2,
        maxItems: 2,
      }),
      {
        ...about('Raw', 'Stretches that are copied as they are. Left out: there are none.', {
          examples: [[['{% raw %}', '{% endraw %}']]],
        }),
        maxItems: MOST_WAYS,
      },
    ),
  ),
  trims: signs(
    'Trims',
    'Signs directly inside a delimiter that remove the white space beside the tag. Left out: there are none.',
    ['-', '~'],
  ),
};

/** The properties that describe a language, as the checker takes them piece by piece. */
export const LANGUAGE = {
  ...plain,
  expressions: Optional(Obj({ ...expressions, functions: Optional(Unknown()) }, EXPRESSIONS)),
  rules: Optional(Obj({ ...rules, bareList: Optional(Unknown()) }, RULES)),
};
/** The same as they are documented. */
export const DOCUMENTED_LANGUAGE = {
  ...plain,
  expressions: Optional(Obj({ ...expressions, functions: Optional(functions) }, EXPRESSIONS)),
  rules: Optional(Obj({ ...rules, bareList: Optional(BARE_LIST_SCHEMA) }, RULES)),
};

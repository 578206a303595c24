import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ANY_FORM, type Join, type NamedForm, type Takes } from '../../../server/src/syntax/namedForm.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { slice } from '../../../server/src/text/span.ts';

// One command is declared: it takes numbers, a text, a flag and two words of one letter.
const WORDS = new Map<string, Takes>([
  ['MINUTES', 'number'],
  ['BED-SIDE', 'number'],
  ['TOOL2', 'number'],
  ['NOTE', 'text'],
  ['BRISK', 'flag'],
  ['P', 'number'],
  ['S', 'number'],
]);
const form = (joins: Join | null, letters: boolean | null = null): NamedForm => ({
  joins,
  letters,
  wordsOf: (code) => (code === 'WARM-THROUGH' ? WORDS : null),
});

/** Each word of the first command as key and value: a number, a text, '{…}' for a filled value, null for a flag. */
function read(text: string, named: NamedForm = ANY_FORM): readonly (readonly [string, unknown])[] {
  const { lines, problems } = parse(text, { named });
  expect(problems).toEqual([]);
  return (lines[0]?.commands[0]?.words ?? []).map(({ key, value }) => {
    if (!value) return [key, null];
    if (value.type === 'number') return [key, value.number];
    return [key, value.type === 'string' ? value.text : `{${slice(text, value.span)}}`];
  });
}
const problems = (text: string, named: NamedForm): string[] =>
  parse(text, { named }).problems.map(
    ({ kind, span, replacement }) => `${kind} ${slice(text, span)} -> ${replacement}`,
  );

describe('a named command whose machine file states nothing', () => {
  it.each([
    [
      'warm-through minutes=4 bed-side=-1.5',
      [
        ['MINUTES', 4],
        ['BED-SIDE', -1.5],
      ],
    ],
    [
      'warm-through minutes:4 bed-side:-1.5',
      [
        ['MINUTES', 4],
        ['BED-SIDE', -1.5],
      ],
    ],
    [
      'warm-through minutes 4 bed-side -1.5',
      [
        ['MINUTES', 4],
        ['BED-SIDE', -1.5],
      ],
    ],
    [
      'warm-through minutes4 bed-side-1.5',
      [
        ['MINUTES', 4],
        ['BED-SIDE', -1.5],
      ],
    ],
    [
      'warm-through S60 P{{ a }} brisk',
      [
        ['S', 60],
        ['P', '{{{ a }}}'],
        ['BRISK', null],
      ],
    ],
    [
      'warm-through note:plain note "a b" brisk',
      [
        ['NOTE', 'plain'],
        ['NOTE', 'a b'],
        ['BRISK', null],
      ],
    ],
    [
      'warm-through note plain minutes{{ m }} tool2 7',
      [
        ['NOTE', 'plain'],
        ['MINUTES', '{{{ m }}}'],
        ['TOOL2', 7],
      ],
    ],
    [
      'warm-through tool27 tool2=8',
      [
        ['TOOL2', 7],
        ['TOOL2', 8],
      ],
    ],
  ])('reads every form of a declared word: %j', (text, expected) => {
    expect(read(text, form(null))).toEqual(expected);
  });

  it.each([
    // What is not declared may be a flag and a value of its own; a text, a time or a name with a hyphen is no word.
    [
      'warm-through swift 5',
      [
        ['SWIFT', null],
        ['', 5],
      ],
    ],
    [
      'warm-through brisk 5',
      [
        ['BRISK', null],
        ['', 5],
      ],
    ],
    [
      'warm-through minutes brisk',
      [
        ['MINUTES', null],
        ['BRISK', null],
      ],
    ],
    [
      'warm-through note minutes=4',
      [
        ['NOTE', null],
        ['MINUTES', 4],
      ],
    ],
    [
      'warm-through part-one c:d 12:30',
      [
        ['', 'part-one'],
        ['', 'c:d'],
        ['', '12:30'],
      ],
    ],
    ['warm-through minutes-x', [['', 'minutes-x']]],
    [
      'swirl speed4 plate9',
      [
        ['SPEED4', null],
        ['PLATE9', null],
      ],
    ],
    [
      'swirl 15 20 -5',
      [
        ['', 15],
        ['', 20],
        ['', -5],
      ],
    ],
    [
      'swirl warm:5 deep 3 S4 x-2 at:noon',
      [
        ['WARM', 5],
        ['DEEP', 3],
        ['S', 4],
        ['X', -2],
        ['', 'at:noon'],
      ],
    ],
  ])('takes nothing for a value that can be something else: %j', (text, expected) => {
    expect(read(text, form(null))).toEqual(expected);
  });

  it('reads a hyphen between letters as part of the name, and one before a digit as a sign', () => {
    const [command] = parse('sweep-tip-5').lines[0]?.commands ?? [];
    expect(command?.code).toBe('SWEEP-TIP');
    expect(read('sweep-tip-5')).toEqual([['', -5]]);
  });
});

describe('a named command whose machine file states a form', () => {
  it('rejects the other signs, with the one that is read', () => {
    expect(problems('warm-through minutes=4 note=x', form(':'))).toEqual([
      'stray-text minutes= -> minutes:',
      'stray-text note= -> note:',
    ]);
    expect(problems('warm-through minutes:4', form('='))).toEqual(['stray-text minutes: -> minutes=']);
    expect(problems('warm-through minutes = 4', form(' '))).toEqual(['stray-text minutes =  -> minutes ']);
    expect(problems('warm-through minutes=4', form(''))).toEqual(['stray-text minutes= -> minutes']);
    // Nobody knows what a command that is not declared takes.
    expect(problems('swirl a=b', form(':'))).toEqual([]);
  });

  it('reads what only another form would join as what it is without', () => {
    expect(read('warm-through minutes 4', form('='))).toEqual([
      ['MINUTES', null],
      ['', 4],
    ]);
    expect(read('warm-through minutes4', form(' '))).toEqual([['MINUTES4', null]]);
    expect(read('warm-through minutes 4', form(''))).toEqual([
      ['MINUTES', null],
      ['', 4],
    ]);
    expect(read('swirl deep:4', form('='))).toEqual([['', 'deep:4']]);
  });

  it('reads words that only it can join', () => {
    expect(read('swirl deep 4 kind"a b" slow{{ a }} quick3', form(''))).toEqual([
      ['DEEP', null],
      ['', 4],
      ['KIND', 'a b'],
      ['SLOW', '{{{ a }}}'],
      ['QUICK', 3],
    ]);
    expect(read('warm-through noteplain minutes4.5', form(''))).toEqual([
      ['NOTE', 'plain'],
      ['MINUTES', 4.5],
    ]);
    expect(read('warm-through note minutes minutes 4', form(' '))).toEqual([
      ['NOTE', 'minutes'],
      ['MINUTES', 4],
    ]);
    expect(read('warm-through note:c:d', form(':'))).toEqual([['NOTE', 'c:d']]);
  });

  it('has letters as words, or has not', () => {
    expect(read('warm-through S60P5 X1', form(null, true))).toEqual([
      ['S', 60],
      ['P', 5],
      ['X', 1],
    ]);
    expect(read('warm-through S60', form('=', false))).toEqual([['S60', null]]);
    expect(read('swirl S60 S=5', form('=', false))).toEqual([
      ['S60', null],
      ['S', 5],
    ]);
    expect(read('warm-through S60P5', form(null))).toEqual([['S60P5', null]]);
  });
});

const value = fc.oneof(
  fc.integer({ min: -999, max: 999 }).map(String),
  fc.tuple(fc.integer({ min: 0, max: 99 }), fc.integer({ min: 1, max: 9 })).map(([a, b]) => `${a}.${b}`),
  fc.constantFrom('{{ heat.bed.first }}', '{{a}}'),
);
const word = fc.oneof(
  fc.tuple(fc.constantFrom('minutes', 'Bed-Side', 'TOOL2'), value),
  fc.tuple(fc.constant('note'), fc.constantFrom('"a b"', '"=:"', '{{ b }}')),
  fc.constant(['brisk', null] as const),
  fc.tuple(fc.constantFrom('S', 'p'), value),
);

describe('whatever the words', () => {
  it.each<[Join | null, Join]>([
    ['=', '='],
    [':', ':'],
    [' ', ' '],
    ['', ''],
    [null, '='],
    [null, ':'],
    [null, ' '],
    [null, ''],
  ])('a file that states %j reads what is joined with %j, and nothing is lost or added', (stated, join) => {
    fc.assert(
      fc.property(fc.array(word, { maxLength: 6 }), fc.constantFrom(null, true, false), (words, letters) => {
        // A letter is joined as all words are, where letters are none.
        const joined = (key: string): string => (key.length === 1 && (letters ?? true) ? '' : join);
        fc.pre(letters !== false || join !== '' || words.every(([key]) => key.length > 1));
        const text = [
          'warm-through',
          ...words.map(([key, given]) => (given === null ? key : key + joined(key) + given)),
        ];
        const found = read(text.join(' '), form(stated, letters));
        expect(found).toEqual(
          words.map(([key, given]) => {
            const plain = given === null || given.startsWith('{') ? given && `{${given}}` : given.replaceAll('"', '');
            return [key.toUpperCase(), plain !== null && /^[-\d.]+$/.test(plain) ? Number(plain) + 0 : plain];
          }),
        );
      }),
      { numRuns: 300 },
    );
  });
});

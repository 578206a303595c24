import {
  Array as ArrayOf,
  Boolean as Bool,
  Literal,
  Number as Num,
  Object as Obj,
  Optional,
  Record as Rec,
  type Static,
  String as Text,
  Union,
  Unknown,
} from '@sinclair/typebox';
import { about, choice, FAR, text } from '../machineFile/schemaParts.ts';
import { DOCUMENTED_LANGUAGE, LANGUAGE } from './languageSchema.ts';

// The one source of the vocabulary file's format: the checks at run time and the JSON Schema that gives hover and
// completion in the editor both come from here.

/** More delimiter pairs than this make a text unreadable. */
export const MOST_PAIRS = 8;
/** More names than this are no vocabulary that a person wrote. */
export const MOST_NAMES = 2000;

const bare = (title: string, examples: string[], more: object = {}) =>
  Text({ title, description: `${title}.`, examples, minLength: 1, ...more });

const rangeEnd = Union(
  [
    Num({ ...about('Number', 'A figure.', { examples: [0] }), minimum: -1e9, maximum: 1e9 }),
    Text({
      ...about('Expression', 'Worked out from the machine’s own figures.', { examples: ['reach.top'] }),
      minLength: 1,
      maxLength: 200,
    }),
  ],
  about('Range end', 'A number, or an expression over the machine’s own figures.', { examples: [0, 'bed.right'] }),
);

const RANGE = about(
  'Range',
  'The smallest and the largest value that a job can give; of a list, its shortest and longest length. An end is a number, or an expression in quotes over the machine’s figures: bed.left/right/front/back, bed.centre.x/y, reach.left/right/front/back/top/bottom, home.x/y/z, nozzle.diameter, filament.diameter, heat.nozzle.minExtrude/max, heat.bed.max, heat.chamber.max, tools. Left out: as the name that it stands for, else not known, so that what depends on it stays undecided.',
  {
    examples: [
      [0, 'reach.top'],
      ['heat.nozzle.minExtrude', 'heat.nozzle.max'],
      [0, 120],
    ],
  },
);
const ITEM_RANGE = about(
  'Item range',
  'The smallest and the largest value of each element of a list, with ends as in a range. Only for lists of numbers. Left out: not known.',
  { examples: [['heat.nozzle.minExtrude', 'heat.nozzle.max']] },
);
const SAMPLE = about(
  'Sample',
  'A usual value, as examples and messages show it. It lies in the range, or is one of the choices. Left out: a value in the middle of the range.',
  { examples: [215, 'PLA', true] },
);

/** What is said of one name, all but those that are read by hand: `range`, `itemRange` and `sample` may be of several types. */
const facts = {
  kind: Optional(
    Union(
      [
        choice('temperature', 'A temperature, in degrees C.'),
        choice('length', 'A length or a place along an axis, in mm.'),
        choice('count', 'A whole number: layers, tools.'),
        choice('number', 'Any other number.'),
        choice('flag', 'true or false.'),
        choice('text', 'A text.'),
        choice('list', 'A list: a section over it runs once for each of its elements.'),
      ],
      about(
        'Kind',
        'What the value is. Left out: as the name that it stands for, else text with choices, else number.',
        {
          examples: ['temperature', 'length'],
        },
      ),
    ),
  ),
  unit: Optional(
    text(
      'Unit',
      'Shown with the value. Nothing is converted: the value is written into the text as it is. Left out: degrees C for temperatures, mm for lengths, none for others.',
      ['mm', 'mm/min', 'degrees C'],
      { maxLength: 40 },
    ),
  ),
  choices: Optional(
    ArrayOf(bare('Choice', ['PLA', 'PETG'], { maxLength: 200 }), {
      ...about('Choices', 'Every text that a job can give. Only for texts. Left out: any text.', {
        examples: [['PLA', 'PETG', 'ABS']],
      }),
      minItems: 1,
      maxItems: 200,
    }),
  ),
  meaning: Optional(
    text(
      'Meaning',
      'What the value is, for hover and completion. Left out: nothing is shown.',
      ['Height of the part.'],
      {
        maxLength: 1000,
      },
    ),
  ),
  standsFor: Optional(
    text(
      'Stands for',
      'The built-in name that this is another name for. Kind, unit, range and meaning are taken from there where they are not given, and what Bookend knows of a job by that name (an end sequence begins at part.top) holds for this one. Left out: a name of its own.',
      ['part.top', 'heat.nozzle.first'],
    ),
  ),
  roles: Optional(
    ArrayOf(
      Union(
        [
          choice('start', 'Start sequences.'),
          choice('end', 'End sequences.'),
          choice('layer', 'Between two layers.'),
          choice('swap', 'When the tool or filament is swapped.'),
          choice('pause', 'When the job pauses.'),
          choice('program', 'Whole programs.'),
        ],
        about('Role', 'A kind of text.', { examples: ['start'] }),
      ),
      about('Roles', 'Texts in which a job has a value for this name. Left out: all.', {
        examples: [['layer', 'swap']],
      }),
    ),
  ),
  atMost: Optional(
    text('At most', 'Another name, whose value is never smaller than this one’s. Left out: none is known.', [
      'part.right',
    ]),
  ),
  atLeast: Optional(
    text('At least', 'Another name, whose value is never larger than this one’s. Left out: none is known.', [
      'part.left',
    ]),
  ),
  atMostBy: Optional(
    Num({
      ...about('At most, by', 'By how much it lies below the name in atMost at least. Left out: it may be equal.', {
        examples: [3],
      }),
      minimum: 0,
      maximum: FAR,
    }),
  ),
  atLeastBy: Optional(
    Num({
      ...about('At least, by', 'By how much it lies above the name in atLeast at least. Left out: it may be equal.', {
        examples: [5],
      }),
      minimum: 0,
      maximum: FAR,
    }),
  ),
  items: Optional(
    Union(
      [
        choice('temperature', 'Temperatures, in degrees C.'),
        choice('length', 'Lengths, in mm.'),
        choice('count', 'Whole numbers.'),
        choice('number', 'Other numbers.'),
        choice('flag', 'true or false.'),
        choice('text', 'Texts.'),
      ],
      about('Items', 'What each element of a list is. Only for lists. Left out: not known.', {
        examples: ['temperature'],
      }),
    ),
  ),
  perTool: Optional(
    Bool(
      about(
        'Per tool',
        'Only for lists: whether it has one element for each tool, in the order of their numbers. Its length is then the number of tools. Left out: false.',
        { examples: [true] },
      ),
    ),
  ),
  orZero: Optional(
    Bool(
      about(
        'Or zero',
        'Whether a job may also give 0, which turns it off, though the range begins above it. Left out: as the name that it stands for where that gives the range, else false.',
        { examples: [true] },
      ),
    ),
  ),
  whole: Optional(
    Bool(about('Whole', 'Only whole numbers. Left out: true for counts, else false.', { examples: [true] })),
  ),
};
const ABOUT_NAME = about('Name', 'What one placeholder name stands for, and which values a job can give it.', {
  examples: [{ kind: 'length', range: [0, 'reach.top'], sample: 40, meaning: 'Height of the part.' }],
});
const NAME = bare('Placeholder name', ['part.top', 'bed_heat'], { maxLength: 100 });

/** One name, as the checker takes it piece by piece. */
export const NameFactsSchema = Obj({
  ...facts,
  range: Optional(Unknown()),
  itemRange: Optional(Unknown()),
  sample: Optional(Unknown()),
});
export const ListedNameSchema = Obj({ name: NAME, ...NameFactsSchema.properties });
export type NameFacts = Static<typeof NameFactsSchema>;

const documented = {
  ...facts,
  range: Optional(ArrayOf(rangeEnd, { ...RANGE, minItems: 2, maxItems: 2 })),
  itemRange: Optional(ArrayOf(rangeEnd, { ...ITEM_RANGE, minItems: 2, maxItems: 2 })),
  sample: Optional(Union([Num({ minimum: -FAR * FAR, maximum: FAR * FAR }), Text({ maxLength: 200 }), Bool()], SAMPLE)),
};

const delimiters = ArrayOf(
  ArrayOf(
    Text({
      title: 'Delimiter',
      description:
        'What opens a tag, what closes it, and what such tags hold: anything (left out), values, statements or comments. An empty text as the second: a bare name behind the sign.',
      examples: ['{{'],
      maxLength: 10,
    }),
    {
      ...about('Pair', 'What opens a tag, what closes it, and what it holds.', { examples: [['{{', '}}']] }),
      minItems: 2,
      maxItems: 3,
    },
  ),
  {
    ...about(
      'Delimiters',
      'What tags stand between, as pairs. A third text says what tags of this pair hold: "values", "statements" or "comments". An empty second text: the tag is a bare name behind the sign. Left out: {{ and }}.',
      {
        examples: [
          [['{{', '}}']],
          [
            ['{{', '}}', 'values'],
            ['{%', '%}', 'statements'],
            ['{#', '#}', 'comments'],
            ['$', ''],
          ],
        ],
      },
    ),
    minItems: 1,
    maxItems: MOST_PAIRS,
  },
);

const root = {
  $schema: Optional(
    Text(
      about('Schema', 'Where the schema of this file is found; only editors read it.', {
        examples: ['./placeholders.schema.json'],
      }),
    ),
  ),
  name: Optional(
    text('Name', 'What this vocabulary is called. Left out: the file’s name.', ['Workshop'], { maxLength: 200 }),
  ),
  extends: Optional(
    Literal(
      'bookend',
      about(
        'Extends',
        '"bookend": the built-in names may be used beside the ones of this file. Left out: only these and the machine’s own.',
        { examples: ['bookend'] },
      ),
    ),
  ),
  delimiters: Optional(delimiters),
};

/** The part of the file that is checked by the schema alone; `names` is read name by name. */
export const VocabularyRootSchema = Obj({ ...root, ...LANGUAGE, names: Optional(Unknown()) });
export type VocabularyRoot = Static<typeof VocabularyRootSchema>;

/** The vocabulary file's schema as it is documented. */
export const VocabularyFileSchema = Obj(
  {
    ...root,
    ...DOCUMENTED_LANGUAGE,
    names: Optional(
      Union(
        [
          Rec(
            Text(),
            Obj(documented, ABOUT_NAME),
            about('By name', 'Each name with what it stands for.', {
              examples: [{ height: { kind: 'length', range: [0, 'reach.top'] } }],
            }),
          ),
          ArrayOf(Obj({ name: NAME, ...documented }, ABOUT_NAME), {
            ...about('In a list', 'The names in the order in which they are offered.', {
              examples: [[{ name: 'height', kind: 'length' }]],
            }),
            maxItems: MOST_NAMES,
          }),
        ],
        about(
          'Names',
          'The placeholder names that sequences may use: an object of name to facts, or a list. Left out: none.',
          {
            examples: [
              { height: { kind: 'length', range: [0, 'reach.top'], sample: 40, meaning: 'Height of the part.' } },
            ],
          },
        ),
      ),
    ),
  },
  {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Placeholder vocabulary',
    description:
      'How the program that fills sequences in writes its placeholders, and which names it has. Lengths in mm, temperatures in degrees C.',
    allowComments: true,
    allowTrailingCommas: true,
  },
);

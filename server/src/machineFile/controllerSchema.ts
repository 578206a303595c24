import {
  Array as ArrayOf,
  Boolean as Flag,
  Integer,
  Number as Num,
  Object as Obj,
  Optional,
  String as Text,
  Union,
} from '@sinclair/typebox';
import { type HabitKey, habitOf } from '../machine/habits.ts';
import { FURTHER_AXES } from '../machine/machine.ts';
import { EffectSchema } from './effectSchema.ts';
import { about, choice, MOST, type SchemaText, text } from './schemaParts.ts';

// Controller traits and named commands in the machine file's schema.

const NamedCommandsSchema = Obj(
  {
    joins: Optional(
      Union(
        [
          choice('=', 'An equals sign: warm-through minutes=4.'),
          choice(':', 'A colon: warm-through minutes:4.'),
          choice(' ', 'A blank: warm-through minutes 4.', 'blank'),
          choice('', 'Nothing: warm-through minutes4.', 'nothing'),
        ],
        about(
          'Sign between word and value',
          'What stands between a word and its value: "=", ":", a blank (" ") or nothing (""). Left out: every form that can be told apart is read, and completion follows the text.',
          { examples: ['=', ':', ' ', ''] },
        ),
      ),
    ),
    case: Optional(
      Union(
        [
          choice('upper', 'Names and words are read in upper case only.'),
          choice('lower', 'Names and words are read in lower case only.'),
          choice('any', 'Case does not matter.'),
        ],
        about(
          'Case',
          'The case in which names and words are read: upper, lower or any. Left out: as upperCase says; names are offered as this file writes them.',
          { examples: ['lower'] },
        ),
      ),
    ),
    letters: Optional(
      Flag(
        about(
          'Letters are words',
          'Whether a single letter directly followed by a number is a word, as S60 is in G-code, and several may follow one another without blanks. Left out: read where nothing else can be meant.',
          { examples: [true] },
        ),
      ),
    ),
  },
  about(
    'How named commands are written',
    'How this controller has the words of its named commands written, as its manual says. Left out: nothing is stated.',
    { examples: [{ joins: ':', case: 'lower', letters: false }] },
  ),
);

/** Title, description and examples of a fact on which controllers are divided. */
function asking(key: HabitKey): SchemaText {
  const { title, question, answers } = habitOf(key);
  const ways = answers.map(({ value, means }) => `${JSON.stringify(value)}: ${means}`).join(' ');
  return about(
    title,
    `${question} ${ways} Left out: not known, both ways are followed, and you are asked where it matters.`,
    {
      examples: answers.map(({ value }) => value),
    },
  );
}

/** One of the words with which such a question is answered. */
function of<T extends string>(key: HabitKey, value: T) {
  const found = habitOf(key).answers.find((one) => one.value === value);
  return choice(value, found?.means ?? '');
}

const NAME_PART = '[A-Za-z_][A-Za-z0-9_]*';

export const ControllerSchema = Obj(
  {
    dwell: Optional(Union([of('dwell', 'ms'), of('dwell', 's')], asking('dwell'))),
    fanFull: Optional(Num({ ...asking('fanFull'), exclusiveMinimum: 0, maximum: 100_000 })),
    commandsPerLine: Optional(
      Union([choice('one', 'One command on a line.'), choice('many', 'Several commands may share a line.')], {
        ...about('Commands per line', 'How many commands may share a line. Left out: one.', {
          default: 'one',
          examples: ['one'],
        }),
      }),
    ),
    distanceGovernsE: Optional(Flag(asking('distanceGovernsE'))),
    arcs: Optional(
      Flag(about('Arcs', 'Whether G2 and G3 are understood. Left out: true.', { default: true, examples: [true] })),
    ),
    longestLine: Optional(
      Integer({
        ...about(
          'Longest line',
          'How many characters of a line are read at most. Left out: no limit is checked. Unit: characters.',
          { examples: [109] },
        ),
        minimum: 8,
        maximum: 1_000_000,
      }),
    ),
    upperCase: Optional(
      Flag(
        about('Upper case only', 'Whether only upper-case letters are understood: g1 is no G1 then. Left out: false.', {
          default: false,
          examples: [true],
        }),
      ),
    ),
    unknownCommand: Optional(
      Union([of('unknownCommand', 'ignored'), of('unknownCommand', 'refused')], asking('unknownCommand')),
    ),
    furtherWords: Optional(
      Union([of('furtherWords', 'ignored'), of('furtherWords', 'refused')], asking('furtherWords')),
    ),
    waitsForCooling: Optional(Flag(asking('waitsForCooling'))),
    waitsByR: Optional(Flag(asking('waitsByR'))),
    meshAfterHoming: Optional(
      Union([of('meshAfterHoming', 'kept'), of('meshAfterHoming', 'forgotten')], asking('meshAfterHoming')),
    ),
    g10: Optional(Union([of('g10', 'retract'), of('g10', 'set')], asking('g10'))),
    axes: Optional(
      ArrayOf(
        Union(
          FURTHER_AXES.map((letter) => choice(letter, `An axis ${letter}.`)),
          about('Axis', 'Its letter.', { examples: ['U'] }),
        ),
        {
          ...about(
            'Further axes',
            'Axes that the machine has beside X, Y, Z and E, by their letters: a second head, a turning plate. Where they are listed, words of others are told; their moves are not followed. Left out: not known, and such words are passed over.',
            { examples: [['U']] },
          ),
          maxItems: FURTHER_AXES.length,
        },
      ),
    ),
    missing: Optional(
      ArrayOf(text('Code', 'A code such as G29.', ['G29'], { pattern: '^[A-Za-z][0-9]{1,5}(\\.[0-9]{1,2})?$' }), {
        ...about('Missing commands', 'Codes that this controller does not have. Left out: none.', {
          default: [],
          examples: [['G29', 'M600']],
        }),
        maxItems: MOST.missing,
      }),
    ),
    namedCommands: Optional(NamedCommandsSchema),
  },
  about('Controller', 'Facts about the controller that decide how a sequence is read.', {
    examples: [{ dwell: 'ms', fanFull: 255, arcs: true }],
  }),
);

export const CommandSchema = Obj(
  {
    name: text(
      'Name',
      'The command as it stands in a sequence: letters, digits and _, and hyphens between them. A code such as M900 may stand here too: it then means on this machine what is said here, and nothing else.',
      ['warm-through', 'M900'],
      {
        pattern: `^[A-Za-z_]([A-Za-z0-9_.]+(-${NAME_PART})*)?$`,
        maxLength: 100,
      },
    ),
    meaning: text('Meaning', 'What it does, in a sentence; hover shows it.', ['Holds the bed at a temperature.']),
    words: Optional(
      ArrayOf(
        Obj(
          {
            key: text('Key', 'The word in front of its value, such as minutes in minutes:5.', ['minutes'], {
              pattern: `^${NAME_PART}(-${NAME_PART})*$`,
              maxLength: 100,
            }),
            meaning: text('Meaning', 'What the word sets.', ['how long to wait']),
            unit: Optional(
              Text(
                about('Unit', 'The unit of its value, such as mm, degrees C or s. Left out: none.', {
                  default: '',
                  examples: ['mm', 'degrees C', 'min'],
                }),
              ),
            ),
            required: Optional(
              Flag(
                about('Required', 'Whether it must be given. Left out: false.', { default: false, examples: [true] }),
              ),
            ),
            default: Optional(
              Num(
                about('Default', 'The number that holds where the word is not given. Left out: none is told.', {
                  examples: [5],
                }),
              ),
            ),
            min: Optional(
              Num(about('Least', 'The least number that it may have. Left out: none is checked.', { examples: [0] })),
            ),
            max: Optional(
              Num(
                about('Most', 'The greatest number that it may have. Left out: none is checked.', { examples: [60] }),
              ),
            ),
          },
          about('Word', 'One word of the command.'),
        ),
        {
          ...about('Words', 'The words that the command takes. Left out: none; for a code such as M900 any.', {
            default: [],
            examples: [[{ key: 'minutes', meaning: 'how long to wait', unit: 'min', required: true }]],
          }),
          maxItems: MOST.words,
        },
      ),
    ),
    effects: Optional(
      ArrayOf(EffectSchema, {
        ...about('Effects', 'What it changes in the machine’s state, in order. Left out: nothing.', {
          default: [],
          examples: [[{ do: 'await-heat', heaters: ['bed'] }]],
        }),
        maxItems: MOST.effects,
      }),
    ),
  },
  about('Command', 'A command that this machine has by name.'),
);

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
import { EffectSchema } from './effectSchema.ts';
import { about, choice, MOST, size, text } from './schemaParts.ts';

// Controller traits and named commands in the machine file's schema.

export const ControllerSchema = Obj(
  {
    dwell: Optional(
      Union([choice('ms', 'P in G4 counts milliseconds.'), choice('s', 'P in G4 counts seconds, as RS-274 has it.')], {
        ...about('Unit of P in G4', 'What P counts in a G4 (wait). Left out: ms.', { default: 'ms', examples: ['ms'] }),
      }),
    ),
    fanFull: Optional(
      size('Full fan', 'The S of M106 that means full speed. Left out: 255.', 100_000, [255, 100, 1], 255),
    ),
    commandsPerLine: Optional(
      Union([choice('one', 'One command on a line.'), choice('many', 'Several commands may share a line.')], {
        ...about('Commands per line', 'How many commands may share a line. Left out: one.', {
          default: 'one',
          examples: ['one'],
        }),
      }),
    ),
    distanceGovernsE: Optional(
      Flag(
        about('G90 and G91 govern E', 'Whether G90 and G91 set the mode of E too. Left out: false.', {
          default: false,
          examples: [false],
        }),
      ),
    ),
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
      Union(
        [choice('ignored', 'It goes on with the next line.'), choice('refused', 'It stops with an error.')],
        about('Unknown command', 'What the controller does on a command that it does not know. Left out: ignored.', {
          default: 'ignored',
          examples: ['ignored'],
        }),
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
  },
  about('Controller', 'Facts about the controller that decide how a sequence is read.', {
    examples: [{ dwell: 'ms', fanFull: 255, arcs: true }],
  }),
);

export const CommandSchema = Obj(
  {
    name: text(
      'Name',
      'The command as it stands in a sequence: letters, digits and _. Case does not matter. A code such as M900 may stand here too: it then means on this machine what is said here, and nothing else.',
      ['HEAT_SOAK', 'M900'],
      {
        pattern: '^[A-Za-z_][A-Za-z0-9_.]*$',
        maxLength: 100,
      },
    ),
    meaning: text('Meaning', 'What it does, in a sentence; hover shows it.', ['Holds the bed at a temperature.']),
    words: Optional(
      ArrayOf(
        Obj(
          {
            key: text('Key', 'The word before its =, such as MINUTES in MINUTES=5.', ['MINUTES'], {
              pattern: '^[A-Za-z_][A-Za-z0-9_]*$',
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
            examples: [[{ key: 'MINUTES', meaning: 'how long to wait', unit: 'min', required: true }]],
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

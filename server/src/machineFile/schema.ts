import {
  Array as ArrayOf,
  Boolean as Flag,
  Integer,
  Object as Obj,
  Optional,
  Record as Rec,
  type Static,
  String as Text,
  Union,
} from '@sinclair/typebox';
import { AsideSchema, BedSchema, KeepOutSchema, ReachSchema } from './areaSchema.ts';
import { CommandSchema, ControllerSchema } from './controllerSchema.ts';
import { about, choice, DEFAULTS, degrees, FAR, MOST, place, size, text } from './schemaParts.ts';

// The one source of the machine file's format: the static type, the checks at run time and the JSON Schema that gives
// hover and completion in the editor all come from here.

const HeatSchema = Obj(
  {
    nozzle: Optional(
      Obj(
        {
          max: Optional(
            degrees(
              'Hottest',
              'The highest temperature allowed for the nozzle. Left out: no limit is checked.',
              1000,
              268,
            ),
          ),
          minExtrude: Optional(
            degrees(
              'Coldest to extrude',
              'The lowest nozzle temperature at which filament may move. Left out: 170.',
              1000,
              173,
              DEFAULTS.minExtrude,
            ),
          ),
        },
        about('Nozzle', 'Limits of the nozzle’s heater.', { examples: [{ max: 268, minExtrude: 173 }] }),
      ),
    ),
    bed: Optional(
      Obj(
        {
          heater: Optional(
            Flag(
              about(
                'Heater',
                'Whether the bed has a heater. false: no job asks for a bed temperature, and none is left on. Left out: true. How to find out: the display shows a bed temperature that can be set.',
                { default: true, examples: [false] },
              ),
            ),
          ),
          max: Optional(
            degrees('Hottest', 'The highest temperature allowed for the bed. Left out: no limit is checked.', 500, 98),
          ),
        },
        about('Bed', 'Limits of the bed’s heater.', { examples: [{ max: 98 }] }),
      ),
    ),
    chamber: Optional(
      Obj(
        {
          max: Optional(
            degrees(
              'Hottest',
              'The highest temperature allowed for the chamber. Left out: no limit is checked.',
              500,
              62,
            ),
          ),
        },
        about('Chamber', 'Limits of the chamber’s heater. Left out: the chamber is not heated.', {
          examples: [{ max: 62 }],
        }),
      ),
    ),
  },
  about('Heat', 'What the heaters may be set to. Unit: degrees C.', {
    examples: [{ nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 } }],
  }),
);

const speedOf = (axis: string, example: number) =>
  Optional(size(`${axis} speed`, `Top speed along ${axis}. Left out: no limit is known. Unit: mm/s.`, FAR, [example]));

const files = (role: string, when: string) =>
  Optional(
    Union(
      [
        text('File', 'A file name, relative to this file.', [`./heron.${role}.gcode`]),
        ArrayOf(text('File', 'A file name, relative to this file.', [`./heron.${role}.gcode`]), {
          ...about('Files', 'Several file names, relative to this file.'),
          maxItems: MOST.files,
        }),
      ],
      about(`${role} sequences`, `${when} A file name or a list of them, relative to this file. Left out: none.`, {
        examples: [`./heron.${role}.gcode`],
      }),
    ),
  );

/** The machine file's schema. */
export const MachineFileSchema = Obj(
  {
    $schema: Optional(
      Text(
        about('Schema', 'Where the schema of this file is found; only editors read it.', {
          examples: ['./machine.schema.json'],
        }),
      ),
    ),
    name: text('Name', 'What findings and the picker call this machine. Required.', ['Heron 228'], { maxLength: 200 }),
    bed: BedSchema,
    reach: Optional(ReachSchema),
    keepOut: Optional(
      ArrayOf(KeepOutSchema, {
        ...about('Keep-outs', 'Boxes inside the reach that the nozzle must not enter. Left out: none. Unit: mm.', {
          default: [],
          examples: [[{ name: 'camera arm', left: 104, right: 151, front: 209, back: 217, bottom: 0, top: 47 }]],
        }),
        maxItems: MOST.keepOut,
      }),
    ),
    areas: Optional(
      ArrayOf(AsideSchema, {
        ...about(
          'Areas beside the print',
          'Boxes beside the print where filament may be pushed out or something be touched: a purge strip, a bin, a wiper. Left out: none. Unit: mm.',
          {
            default: [],
            examples: [[{ name: 'bin', left: -14, right: -3, front: 2, back: 31, may: ['push'] }]],
          },
        ),
        maxItems: MOST.keepOut,
      }),
    ),
    home: Optional(
      Obj(
        {
          x: place('X', 'X after homing.', 0),
          y: place('Y', 'Y after homing.', 0),
          z: place('Z', 'Z after homing.', 0),
        },
        about(
          'Home',
          'Where the nozzle is after homing. Left out: left and front of the reach (or of the bed), Z 0. Unit: mm.',
          { examples: [{ x: 0, y: 0, z: 0 }] },
        ),
      ),
    ),
    nozzle: Optional(
      Obj(
        {
          diameter: Optional(
            size('Diameter', 'Of the nozzle’s hole. Left out: 0.4. Unit: mm.', 10, [0.4, 0.6], DEFAULTS.nozzle),
          ),
        },
        about('Nozzle', 'The nozzle.', { examples: [{ diameter: 0.4 }] }),
      ),
    ),
    filament: Optional(
      Obj(
        {
          diameter: Optional(
            size('Diameter', 'Of the filament. Left out: 1.75. Unit: mm.', 10, [1.75, 2.85], DEFAULTS.filament),
          ),
        },
        about('Filament', 'The filament that the machine takes.', { examples: [{ diameter: 1.75 }] }),
      ),
    ),
    heat: Optional(HeatSchema),
    mostFlow: Optional(
      size(
        'Most flow',
        'How much filament the nozzle can melt at most. Left out: no limit is checked. Unit: mm3/s.',
        10_000,
        [10.4],
      ),
    ),
    speed: Optional(
      Obj(
        { x: speedOf('X', 215), y: speedOf('Y', 185), z: speedOf('Z', 11), e: speedOf('E', 38) },
        about('Speed', 'Top speeds of the axes. Unit: mm/s.', { examples: [{ x: 215, y: 185, z: 11, e: 38 }] }),
      ),
    ),
    acceleration: Optional(
      size(
        'Acceleration',
        'Of a printing move. Left out: times are reckoned without acceleration. Unit: mm/s2.',
        1_000_000,
        [1150],
      ),
    ),
    tools: Optional(
      Integer({
        ...about('Tools', 'How many tools (nozzles) the machine has. Left out: 1.', {
          default: DEFAULTS.tools,
          examples: [1, 2],
        }),
        minimum: 1,
        maximum: 64,
      }),
    ),
    controller: Optional(ControllerSchema),
    commands: Optional(
      ArrayOf(CommandSchema, {
        ...about(
          'Commands',
          'Commands that this machine has by name, beside the usual G and M codes; and codes that mean something else on this machine than usual, with what they mean. Left out: none.',
          {
            default: [],
            examples: [[{ name: 'warm-through', meaning: 'Holds the bed at a temperature.', words: [] }]],
          },
        ),
        maxItems: MOST.commands,
      }),
    ),
    sequences: Optional(
      Obj(
        {
          start: files('start', 'Run before the first layer.'),
          end: files('end', 'Run after the last layer.'),
          layer: files('layer', 'Run between two layers.'),
          swap: files('swap', 'Run when the tool or the filament is swapped.'),
          pause: files('pause', 'Run when the job pauses.'),
        },
        about('Sequences', 'The sequences that belong to this machine; they are checked against it. Left out: none.', {
          examples: [{ start: './heron.start.gcode', end: './heron.end.gcode' }],
        }),
      ),
    ),
    placeholders: Optional(
      text(
        'Placeholders',
        'The vocabulary file whose names these sequences use, relative to this file. Left out: the built-in names.',
        ['./workshop.placeholders.json'],
      ),
    ),
    rules: Optional(
      Rec(
        Text(),
        Union(
          [
            choice('error', 'It breaks or harms.'),
            choice('warning', 'It is likely a mistake.'),
            choice('info', 'It is worth knowing.'),
            choice('hint', 'It is advice, shown faintly.'),
            choice('off', 'The rule is not run.'),
          ],
          about('Severity', 'How findings of this rule count.', { examples: ['off'] }),
        ),
        about(
          'Rules',
          'How findings of a rule count in texts of this machine, by the rule’s name: error, warning, info, hint or off. Left out: as each rule says.',
          { default: {}, examples: [{ 'heat-left-on': 'error', 'long-line': 'off' }] },
        ),
      ),
    ),
  },
  {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Machine',
    description:
      'A printer, described for checking sequences. Lengths in mm, speeds in mm/s, temperatures in degrees C. Take the figures from the machine’s manual or measure them.',
    allowComments: true,
    allowTrailingCommas: true,
  },
);

/** A machine file's content as its schema types it. */
export type MachineFile = Static<typeof MachineFileSchema>;

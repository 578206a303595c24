import {
  Array as ArrayOf,
  Boolean as Flag,
  Literal,
  Number as Num,
  Object as Obj,
  Optional,
  String as Text,
  type TProperties,
  Union,
} from '@sinclair/typebox';

// Effects that a machine file may declare for its named commands: a subset of `Effect` (effect.ts), as data. A type
// test (schema.test.ts) holds that every one of them is an `Effect`.

const effect = <D extends string, P extends TProperties>(name: D, does: string, properties: P) =>
  Obj(
    { do: Literal(name, { title: 'Effect', description: does, examples: [name] }), ...properties },
    { title: name, description: does },
  );
const on = (what: string) => Flag({ title: 'On', description: `true: ${what} on; false: off.`, examples: [true] });
const heater = Union(
  [
    Literal('nozzle', { title: 'nozzle', description: 'The nozzle.' }),
    Literal('bed', { title: 'bed', description: 'The bed.' }),
    Literal('chamber', { title: 'chamber', description: 'The chamber.' }),
  ],
  { title: 'Heater', description: 'Which heater: nozzle, bed or chamber.', examples: ['bed'] },
);
const axis = Union(
  [
    Literal('x', { title: 'x', description: 'X' }),
    Literal('y', { title: 'y', description: 'Y' }),
    Literal('z', { title: 'z', description: 'Z' }),
  ],
  { title: 'Axis', description: 'x, y or z.', examples: ['z'] },
);
const place = (letter: string) =>
  Optional(
    Num({
      title: letter,
      description: `Machine coordinate along ${letter}. Left out: this axis stays. Unit: mm.`,
      examples: [10],
      minimum: -100_000,
      maximum: 100_000,
    }),
  );
const keyText = (description: string) =>
  Text({
    title: 'Key',
    description,
    examples: ['plate'],
    pattern: '^[A-Za-z_][A-Za-z0-9_]*(-[A-Za-z_][A-Za-z0-9_]*)*$',
    maxLength: 100,
  });

/** One effect of a named command. */
export const EffectSchema = Union(
  [
    effect('home', 'Homes the axes whose letters are given, or all.', {}),
    effect('position-unknown', 'Ends somewhere that is not known (probing), still homed.', {
      axes: ArrayOf(axis, {
        title: 'Axes',
        description: 'Which axes are not known afterwards.',
        examples: [['x', 'y', 'z']],
        maxItems: 3,
      }),
    }),
    effect('heat', 'Sets a heater to the value of a word, or to a fixed temperature.', {
      heater,
      wait: Flag({ title: 'Wait', description: 'Whether it waits until the heater is there.', examples: [true] }),
      key: Optional(keyText('The word that gives the temperature. Left out: S.')),
      coolKey: Optional(keyText('The word that gives the temperature where cooling is awaited too. Left out: none.')),
      toolKey: Optional(keyText('The word that names the tool whose nozzle it is. Left out: T.')),
      to: Optional(
        Num({
          title: 'To',
          description: 'The temperature where no word gives it. Left out: only a word gives it. Unit: degrees C.',
          examples: [60],
          minimum: 0,
          maximum: 1000,
        }),
      ),
    }),
    effect('await-heat', 'Waits until these heaters are at their targets.', {
      heaters: ArrayOf(heater, {
        title: 'Heaters',
        description: 'Which heaters; an empty list: all.',
        examples: [['nozzle', 'bed']],
        maxItems: 3,
      }),
    }),
    effect('fan', 'Switches the part fan.', { on: on('the fan is') }),
    effect('motors', 'Switches the motors.', { on: on('the motors are') }),
    effect('distance', 'Sets the distance mode, as G90 and G91 do.', {
      relative: Flag({ title: 'Relative', description: 'true: as G91; false: as G90.', examples: [false] }),
    }),
    effect('extrusion-mode', 'Sets the mode of E, as M82 and M83 do.', {
      relative: Flag({ title: 'Relative', description: 'true: as M83; false: as M82.', examples: [true] }),
    }),
    effect('units', 'Sets the unit of lengths, as G20 and G21 do.', {
      inches: Flag({ title: 'Inches', description: 'true: inches; false: mm.', examples: [false] }),
    }),
    effect('clear-offset', 'Cancels the offset that G92 set.', {}),
    effect('select-tool', 'Takes the tool whose number a word gives.', {
      key: keyText('The word that gives the tool’s number.'),
    }),
    effect(
      'allow-cold',
      'Allows (or forbids) moving filament below the extruding temperature, by its S or P word.',
      {},
    ),
    effect('move-to', 'Moves straight to fixed machine coordinates.', { x: place('X'), y: place('Y'), z: place('Z') }),
    effect('extrude', 'Pushes this much filament.', {
      length: Num({
        title: 'Length',
        description: 'Filament pushed; negative: pulled back. Unit: mm.',
        examples: [20],
        minimum: -10_000,
        maximum: 10_000,
      }),
    }),
    effect('retract', 'Pulls the filament back.', {}),
    effect('unretract', 'Pushes pulled-back filament forward again.', {}),
    effect('stop', 'Ends the program: nothing after it runs.', {}),
  ],
  {
    title: 'Effect',
    description: 'One change of the machine’s state.',
    examples: [{ do: 'await-heat', heaters: ['bed'] }],
  },
);

import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

// What a word of a command means is said by the command's record and by the run, and nowhere else. So no file outside
// of them names a code or a word's letter, but these few, each for its reason.
const NAMES: Readonly<Record<string, string>> = {
  'cli/explain.ts': 'a person asks for T0, and the record is that of T',
  'lsp/inspectionTotals.ts': 'writes axes for people',
  'machineFile/areaSchema.ts': 'writes axes for people',
  'machineFile/consistency.ts': 'writes axes for people',
  'machineFile/controllerSchema.ts': 'examples of a machine file',
  'machineFile/effectSchema.ts': 'writes axes for people',

  'machineFile/schema.ts': 'writes axes for people',
  'rules/bareTags.ts': 'F alone is a command of its own, by its code',
  'rules/coldAllowed.ts': 'two words of one command, which allow the same in two ways',
  'rules/coldProbing.ts': 'no effect says that the bed is measured',
  'rules/computedNumber.ts': 'the letter of an exponent is an E, whatever the word',
  'rules/dragOverPart.ts': 'writes the rows that lift',
  'rules/eModeLeft.ts': 'writes the mode; no effect says that saved modes come back',
  'rules/eModeUnset.ts': 'writes the mode',
  'rules/factorsLeft.ts': 'writes the factor; no effect says that a stored factor comes back',
  'rules/fanHandedOver.ts': 'writes what switches the fan off',
  'rules/fanLeftOn.ts': 'writes what switches the fan off',
  'rules/feedModeLeft.ts': 'writes the mode',
  'rules/heatSteps.ts': 'writes what waits for a heater',
  'rules/heaterProtection.ts': 'a rule about these commands alone',
  'rules/levelBeforeHome.ts': 'no effect says that the bed is measured; writes homing',
  'rules/levelLost.ts': 'no effect says that the bed is measured, or its measure used',
  'rules/limitsOff.ts': 'a rule about these commands alone',
  'rules/modesLeft.ts': 'writes the mode',
  'rules/numberedText.ts': 'numbers of lines are no effect on the machine',
  'rules/offsetLeft.ts': 'writes what takes offsets back; what G10 does hangs on its L',
  'rules/planeLeft.ts': 'writes the plane',
  'rules/say.ts': 'which commands stand on one line, before they have records',
  'rules/twoCommands.ts': 'which commands stand on one line, before they have records',
  'rules/unknownWord.ts': 'further axes stand where X does',
  'rules/unstatedHabit.ts': 'what G10 does hangs on its L',
  'rules/waitWithoutTarget.ts': 'writes the command that goes on instead',
  'service/formatLine.ts': 'T0 is written as one word',
  'service/highlights.ts': 'letters that are the same letter, whatever they mean',
  'service/wordFacts.ts': 'which of two words of a pause counts in another unit',
  'vocabulary/making.ts': 'writes axes for people',
};

const SOURCES = new URL('../../../server/src/', import.meta.url);
/** Those that read text and those that say what it means. */
const HOMES = new Set(['commands', 'simulate', 'syntax', 'program']);
/** A code or a word's letter, as a whole string of the source. */
const NAME = /'([GM]\d+(\.\d+)?|T\d*|[XYZEFSPRIJKL])'/;
/** Lines that are read by people: texts, and examples of rules. */
const SAID = /\b(bad|good|why|title|message|ids|[Dd]ate)\b\s*[:=?.)]/;

const naming = readdirSync(SOURCES, { recursive: true, encoding: 'utf8' })
  .map((path) => path.replaceAll('\\', '/'))
  .filter((path) => path.endsWith('.ts') && path.includes('/') && !HOMES.has(path.split('/')[0] as string))
  .filter((path) =>
    readFileSync(new URL(path, SOURCES), 'utf8')
      .split('\n')
      .some((line) => NAME.test(line) && !SAID.test(line)),
  );

it('only the files that are listed, each with its reason, name a code or say by its letter what a word means', () => {
  expect(naming.filter((path) => !(path in NAMES))).toEqual([]);
});

it('each file of the list still does', () => {
  expect(Object.keys(NAMES).filter((path) => !naming.includes(path))).toEqual([]);
});

import type { Effect } from '../machine/effect.ts';
import type { NamedCommand, NamedStyle } from '../machine/machine.ts';
import type { Takes } from '../syntax/namedForm.ts';
import { withQuantities } from './define.ts';
import type { CommandRecord, Family, WordDraft } from './record.ts';
import type { WordUnit } from './unit.ts';

/** How a machine file may write a unit, beside the names that `Unit` has. */
const UNITS: Readonly<Record<string, WordUnit>> = {
  length: 'length',
  'length/min': 'length/min',
  mm: 'mm',
  'mm/s': 'mm/s',
  'mm/min': 'mm/min',
  'mm/s2': 'mm/s2',
  'degrees C': 'degrees C',
  degrees: 'degrees',
  s: 's',
  ms: 'ms',
  min: 'min',
  percent: 'percent',
  '%': 'percent',
  mm3: 'mm3',
  'steps/mm': 'steps/mm',
  mA: 'mA',
  Hz: 'Hz',
  count: 'count',
  index: 'index',
  switch: 'switch',
  number: 'number',
  text: 'text',
  none: 'none',
};

const FAMILIES: Readonly<Record<Effect['do'], Family>> = {
  line: 'motion',
  arc: 'motion',
  curve: 'motion',
  dwell: 'files and waiting',
  plane: 'modes',
  units: 'modes',
  distance: 'modes',
  'extrusion-mode': 'modes',
  'feed-mode': 'modes',
  'machine-coordinates': 'offsets',
  home: 'homing and probing',
  'set-position': 'offsets',
  'clear-offset': 'offsets',
  'work-offset': 'offsets',
  'position-unknown': 'homing and probing',
  heat: 'heat',
  'await-heat': 'heat',
  fan: 'fan',
  motors: 'motors',
  'select-tool': 'tool',
  'allow-cold': 'protections',
  'speed-factor': 'limits and tuning',
  'flow-factor': 'extrusion and retraction',
  retract: 'extrusion and retraction',
  unretract: 'extrusion and retraction',
  'move-to': 'motion',
  extrude: 'extrusion and retraction',
  stop: 'files and waiting',
  feed: 'modes',
};

/** A code as the parser writes it: 'G1' for 'g01', names in upper case. */
export const normalCode = (code: string): string => code.toUpperCase().replace(/^([GM])0+(?=\d)/, '$1');

/** Whether it is a G, M or T code, and no name. */
export const isNumbered = (code: string): boolean => /^([GM]\d+(\.\d+)?|T)$/.test(code);

/** A name in the case in which a controller reads it; where it does not say, as it stands. */
export function inCase(name: string, style: NamedStyle['case']): string {
  return style === 'upper' ? name.toUpperCase() : style === 'lower' ? name.toLowerCase() : name;
}

/** How a name is written that is `upper` to Bookend; nothing where it is the same. */
function asWritten(upper: string, written: string | undefined, style: NamedStyle['case']): { written?: string } {
  const one = inCase(written ?? upper, style);
  return one === upper ? {} : { written: one };
}

/** What may stand behind a word, for the parser. */
export const takesOf = (word: WordDraft): Takes =>
  word.value === 'flag' || word.value === 'optional' ? 'flag' : word.text || word.unit === 'text' ? 'text' : 'number';

/** A machine's own command as a record, so that everything that reads records knows it too. */
export function recordOfNamed(
  command: NamedCommand,
  machineName: string,
  style: NamedStyle['case'] = null,
): CommandRecord {
  const first = command.effects[0];
  const code = normalCode(command.name);
  return {
    code,
    ...(isNumbered(code) ? {} : asWritten(code, command.written, style)),
    // A code that means something else here, with no words told: nobody knows which it takes.
    ...(command.words.length === 0 && isNumbered(code) ? { openWords: true } : {}),
    title: `Command of ${machineName}`,
    does: command.meaning || 'The machine file does not say what it does.',
    family: (first && FAMILIES[first.do]) ?? 'files and waiting',
    words: withQuantities(
      command.words.map((word) => wordOfNamed(word, isNumbered(code) ? null : style)),
      command.effects,
    ),
    effects: command.effects,
    cautions: [],
    own: true,
    source: `the machine file of ${machineName}`,
  };
}

function wordOfNamed(w: NamedCommand['words'][number], style: NamedStyle['case']): WordDraft {
  const unit = Object.hasOwn(UNITS, w.unit) ? UNITS[w.unit] : undefined;
  const known = unit ?? (w.unit === '' ? 'number' : undefined);
  return {
    key: w.key.toUpperCase(),
    ...asWritten(w.key.toUpperCase(), w.written, style),
    // A unit that is no usual one (minutes, say) is told with the meaning.
    meaning: known ? w.meaning : `${w.meaning} (${w.unit})`,
    unit: known ?? 'number',
    required: w.required,
    ...(w.default === undefined ? {} : { absent: `${w.default}` }),
    ...(w.min === undefined ? {} : { min: w.min }),
    ...(w.max === undefined ? {} : { max: w.max }),
    value: known === 'none' ? 'optional' : 'needed',
    text: known === 'text',
  };
}

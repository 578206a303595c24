import type { Axis, Effect, HeaterKind } from '../machine/effect.ts';
import type { WordUnit } from './unit.ts';

/**
 * What the number behind a word is a quantity of: the one place that says it, for hover, rules, drafts, pictures and
 * whoever changes a text. `distance x` runs from an arc's start to its center; `axis to …` only picks an axis.
 */
export type Quantity =
  | `place ${Axis}`
  | `distance ${Axis}`
  | 'radius'
  | 'filament'
  | 'feed'
  | `${HeaterKind} target`
  | 'fan share'
  | 'wait'
  | 'tool'
  | 'fan'
  | 'work offset'
  | 'speed factor'
  | 'flow factor'
  | 'cold extrusion'
  | `reading ${Axis | 'e'}`
  | `axis to home ${Axis}`
  | `axis to release ${Axis | 'e'}`
  | 'length'
  | 'filament length'
  | 'filament speed'
  | 'speed'
  | 'acceleration'
  | 'temperature'
  | 'angle'
  | 'time'
  | 'volume'
  | 'steps'
  | 'current'
  | 'frequency'
  | 'percent'
  | 'count'
  | 'index'
  | 'switch'
  | 'number'
  | 'text'
  | 'none';

/** What is set up for each motor, tool or side: there some controllers take a list of numbers (`E420:415`). */
const LISTED = new Set<Quantity>([
  ...(['length', 'filament length', 'filament speed', 'speed', 'acceleration', 'temperature', 'time'] as const),
  ...(['steps', 'current', 'percent', 'count', 'index', 'switch', 'number', 'none'] as const),
]);

/** Whether a list of numbers may stand for it. Common practice, no source. */
export const maybeList = (quantity: Quantity): boolean => LISTED.has(quantity);

/** Whether it is what a heater is set to. */
export const isTarget = (quantity: Quantity): boolean => quantity.endsWith(' target');

/** The heater whose target it is; null for all else. */
export const heaterOf = (quantity: Quantity): HeaterKind | null =>
  isTarget(quantity) ? (quantity.slice(0, -' target'.length) as HeaterKind) : null;

/** Whether it is an amount or a speed of filament. */
export const isFilament = (quantity: Quantity): boolean => quantity.startsWith('filament') || quantity === 'reading e';

/** Whether it is a temperature: what a heater is set to, or another. */
export const isTemperature = (quantity: Quantity): boolean => quantity === 'temperature' || isTarget(quantity);

/** The axis that a place or a distance lies along; null for all else. */
export function axisOf(quantity: Quantity): Axis | null {
  if (!quantity.startsWith('place ') && !quantity.startsWith('distance ')) return null;
  return quantity.slice(-1) as Axis;
}

/** The keys of the words that may give what a heater is set to, the first that a command has counts. */
export const targetKeys = ({ key = 'S', coolKey }: Extract<Effect, { do: 'heat' }>): readonly string[] =>
  coolKey === undefined ? [key] : [key, coolKey];

/** What a unit alone tells of the quantity. */
const BY_UNIT: Readonly<Record<WordUnit, Quantity>> = {
  length: 'length',
  'length/min': 'speed',
  mm: 'length',
  'mm/s': 'speed',
  'mm/min': 'speed',
  'mm/s2': 'acceleration',
  'degrees C': 'temperature',
  degrees: 'angle',
  s: 'time',
  ms: 'time',
  min: 'time',
  dwell: 'wait',
  fan: 'fan share',
  percent: 'percent',
  mm3: 'volume',
  'steps/mm': 'steps',
  mA: 'current',
  Hz: 'frequency',
  count: 'count',
  index: 'index',
  switch: 'switch',
  number: 'number',
  text: 'text',
  none: 'none',
};

const MOTION: Readonly<Record<string, Quantity>> = {
  X: 'place x',
  Y: 'place y',
  Z: 'place z',
  E: 'filament',
  F: 'feed',
  I: 'distance x',
  J: 'distance y',
  K: 'distance z',
  R: 'radius',
};

const AXES: ReadonlySet<string> = new Set(['X', 'Y', 'Z', 'E']);

/** The quantity of the word `key` of a command with these effects, whose unit is `unit`. What an effect reads it as wins. */
export function quantityOf(key: string, unit: WordUnit, effects: readonly Effect[]): Quantity {
  for (const effect of effects) {
    const read = readAs(key, effect);
    if (read) return read;
  }
  const quantity = BY_UNIT[unit];
  // By printing practice E is filament, whatever a command does with it, and T a tool.
  if (key === 'E' && (quantity === 'length' || quantity === 'speed')) return `filament ${quantity}`;
  return key === 'T' && quantity === 'index' ? 'tool' : quantity;
}

const ofAxis = (what: 'axis to home' | 'axis to release' | 'reading', key: string): Quantity =>
  `${what} ${key.toLowerCase()}` as Quantity;

/** What an effect reads a word as; null where it does not read it. */
function readAs(key: string, effect: Effect): Quantity | null {
  switch (effect.do) {
    case 'line':
      return key === 'I' || key === 'J' || key === 'K' || key === 'R' ? null : (MOTION[key] ?? null);
    case 'arc':
      return MOTION[key] ?? null;
    case 'curve':
      return key === 'R' ? null : (MOTION[key] ?? null);
    case 'feed':
      return key === 'F' ? 'feed' : null;
    case 'dwell':
      return key === 'P' || key === 'S' ? 'wait' : null;
    case 'home':
      return key !== 'E' && AXES.has(key) ? ofAxis('axis to home', key) : null;
    case 'motors':
      return !effect.on && AXES.has(key) ? ofAxis('axis to release', key) : null;
    case 'set-position':
      return AXES.has(key) ? ofAxis('reading', key) : null;
    case 'heat':
      if (targetKeys(effect).includes(key)) return `${effect.heater} target`;
      return effect.heater === 'nozzle' && key === (effect.toolKey ?? 'T') ? 'tool' : null;
    case 'fan':
      if (key === 'P') return 'fan';
      return effect.on && key === 'S' ? 'fan share' : null;
    case 'select-tool':
      return key === effect.key ? 'tool' : null;
    case 'allow-cold':
      return key === 'S' || key === 'P' ? 'cold extrusion' : null;
    case 'speed-factor':
      return key === 'S' ? 'speed factor' : null;
    case 'flow-factor':
      return key === 'S' ? 'flow factor' : null;
    case 'retract':
      return key === 'P' ? 'work offset' : null;
    default:
      return null;
  }
}

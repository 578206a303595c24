import type { Axis, Effect, HeaterKind } from '../machine/effect.ts';
import type { Unit } from './record.ts';

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
  | 'work offset'
  | 'speed factor'
  | 'flow factor'
  | 'cold extrusion'
  | 'reading'
  | 'axis to home'
  | 'axis to release'
  | 'length'
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

/** Whether it is what a heater is set to. */
export const isTarget = (quantity: Quantity): boolean => quantity.endsWith(' target');

/** Whether it is a temperature: what a heater is set to, or another. */
export const isTemperature = (quantity: Quantity): boolean => quantity === 'temperature' || isTarget(quantity);

/** The axis that a place or a distance lies along; null for all else. */
export function axisOf(quantity: Quantity): Axis | null {
  if (!quantity.startsWith('place ') && !quantity.startsWith('distance ')) return null;
  return quantity.slice(-1) as Axis;
}

/** What a unit alone tells of the quantity. */
const BY_UNIT: Readonly<Record<Unit, Quantity>> = {
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
export function quantityOf(key: string, unit: Unit, effects: readonly Effect[]): Quantity {
  for (const effect of effects) {
    const read = readAs(key, effect);
    if (read) return read;
  }
  return BY_UNIT[unit];
}

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
      return key !== 'E' && AXES.has(key) ? 'axis to home' : null;
    case 'motors':
      return !effect.on && AXES.has(key) ? 'axis to release' : null;
    case 'set-position':
      return AXES.has(key) ? 'reading' : null;
    case 'heat':
      if (key === (effect.key ?? 'S') || key === effect.coolKey) return `${effect.heater} target`;
      return effect.heater === 'nozzle' && key === 'T' ? 'tool' : null;
    case 'fan':
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

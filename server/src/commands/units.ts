import type { Traits } from '../machine/machine.ts';
import type { WordUnit } from './unit.ts';

/** The units whose text is the same everywhere. */
const PLAIN: Readonly<Partial<Record<WordUnit, string>>> = {
  mm: 'mm',
  'mm/s': 'mm/s',
  'mm/min': 'mm/min',
  'mm/s2': 'mm/s²',
  'degrees C': '°C',
  degrees: '°',
  s: 's',
  ms: 'ms',
  min: 'min',
  percent: '%',
  mm3: 'mm³',
  'steps/mm': 'steps/mm',
  mA: 'mA',
  Hz: 'Hz',
  count: 'a whole number',
  index: 'a whole number',
  switch: '0 or 1',
  number: 'a number',
  text: 'text',
  none: '',
};

/**
 * A word's unit as a reader is told it.
 * @param traits The controller's; null where the machine is not known, so that both readings are told.
 * @param inches Whether G20 is in force; null where that is not known.
 */
export function unitText(unit: WordUnit, traits: Traits | null, inches: boolean | null): string {
  if (unit === 'length') return lengthText(inches);
  if (unit === 'length/min') return inches === null ? 'mm/min, or inches/min after G20' : `${lengthText(inches)}/min`;
  if (unit === 'dwell') return traits?.dwell ?? "ms or s, as the controller's manual says";
  if (unit === 'fan')
    return traits?.fanFull ? `0 to ${traits.fanFull}` : '0 to 255, 100 or 1, depending on the controller';
  return PLAIN[unit] ?? '';
}

const lengthText = (inches: boolean | null): string =>
  inches === null ? 'mm, or inches after G20' : inches ? 'inches' : 'mm';

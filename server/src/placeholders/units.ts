import type { Name } from './vocabulary.ts';

/**
 * What a number is measured in: powers of base units (`mm` 1 and `s` -1 is a speed), none for a plain number.
 * Nothing is converted here: mm and inches are different units.
 */
export interface Unit {
  readonly powers: Readonly<Record<string, number>>;
  /** A whole number of things; a plain number otherwise alike. */
  readonly count?: boolean;
}

export const TEMPERATURE: Unit = { powers: { 'degrees C': 1 } };
export const LENGTH: Unit = { powers: { mm: 1 } };
export const COUNT: Unit = { powers: {}, count: true };
export const PLAIN: Unit = { powers: {} };

const LENGTHS: ReadonlySet<string> = new Set(['mm', 'cm', 'm', 'um', 'µm', 'in', 'inch', 'inches']);
const OTHERS: ReadonlySet<string> = new Set(['s', 'ms', 'min', 'h', 'g', 'W', 'mA', 'Hz', 'degrees']);

/** What a name is measured in; null where nobody says, so that it may be anything. */
export function unitOfName({ kind, unit }: Name): Unit | null {
  if (kind === 'temperature') return TEMPERATURE;
  if (kind === 'count') return COUNT;
  if (kind === 'length') return LENGTHS.has(unit) ? { powers: { [unit]: 1 } } : LENGTH;
  return kind === 'number' ? readUnit(unit) : null;
}

/** `mm/s2` as powers; null for '' and for texts that name no usual unit. */
export function readUnit(text: string): Unit | null {
  if (text === '%') return PLAIN;
  if (/^(degrees C|°C)$/.test(text)) return TEMPERATURE;
  const powers: Record<string, number> = {};
  for (const [i, part] of text.split('/').entries()) {
    const found = /^([a-zµ]+)([23²³])?$/i.exec(part.trim());
    const base = found?.[1] ?? '';
    if (!LENGTHS.has(base) && !OTHERS.has(base)) return null;
    const power = found?.[2] === '2' || found?.[2] === '²' ? 2 : found?.[2] ? 3 : 1;
    powers[base] = (powers[base] ?? 0) + (i === 0 ? power : -power);
  }
  return { powers };
}

const bases = (unit: Unit): readonly string[] => Object.keys(unit.powers);

export const isPlain = (unit: Unit): boolean => bases(unit).length === 0;
export const isTemperature = (unit: Unit): boolean => sameUnit(unit, TEMPERATURE);
/** A length in any unit of length: which one holds depends on G20 and G21. */
export const isLength = (unit: Unit): boolean =>
  bases(unit).length === 1 && LENGTHS.has(bases(unit)[0] ?? '') && Object.values(unit.powers)[0] === 1;
/** One base unit, once: a length, a temperature, a time. Not an area, not a speed. */
const isSimple = (unit: Unit): boolean => bases(unit).length === 1 && Object.values(unit.powers)[0] === 1;

export function sameUnit(a: Unit, b: Unit): boolean {
  const [of, and] = [bases(a), bases(b)];
  return of.length === and.length && of.every((base) => a.powers[base] === b.powers[base]);
}

/** The unit of a product (sign 1) or a quotient (sign -1). */
export function times(a: Unit, b: Unit, sign: 1 | -1): Unit {
  if (isPlain(b)) return isPlain(a) ? PLAIN : a;
  const powers: Record<string, number> = { ...a.powers };
  for (const base of bases(b)) {
    const power = (powers[base] ?? 0) + sign * (b.powers[base] ?? 0);
    if (power === 0) delete powers[base];
    else powers[base] = power;
  }
  return { powers };
}

/** Whether multiplying or dividing these means nothing: a temperature by a temperature's square, or by a length. */
export function senseless(a: Unit, b: Unit, sign: 1 | -1): boolean {
  if (isPlain(a) || isPlain(b) || (!('degrees C' in a.powers) && !('degrees C' in b.powers))) return false;
  return sign === 1 || !sameUnit(a, b);
}

/**
 * A unit after a number without one was multiplied in. That number may have a unit that nobody wrote (60 seconds a
 * minute, 2.405 mm2 of filament), so only simple units stay what they are.
 */
export const afterScaling = (unit: Unit | null): Unit | null => (unit && isSimple(unit) ? unit : null);

/** "a temperature", "a speed in mm/s". */
export function unitPhrase(unit: Unit): string {
  if (isPlain(unit)) return unit.count ? 'a count' : 'a plain number';
  if (isTemperature(unit)) return 'a temperature';
  const { mm } = unit.powers;
  if (bases(unit).length === 1 && mm) {
    const what = { 1: 'a length', 2: 'an area', 3: 'a volume' }[mm];
    if (what) return what;
  }
  const text = unitText(unit);
  if (isLength(unit)) return `a length in ${text}`;
  return /^[a-zµ]+\/(s|min|h)$/.test(text) && LENGTHS.has(text.split('/')[0] ?? '')
    ? `a speed in ${text}`
    : `a number in ${text}`;
}

function unitText(unit: Unit): string {
  const part = (sign: 1 | -1): string[] =>
    Object.entries(unit.powers)
      .filter(([, power]) => power * sign > 0)
      .map(([base, power]) => (Math.abs(power) === 1 ? base : `${base}${Math.abs(power)}`));
  const under = part(-1);
  return [part(1).join(' ') || '1', ...under].join('/');
}

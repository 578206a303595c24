import {
  type Bounds,
  bounds,
  divide,
  exact,
  hullOf,
  isExact,
  join,
  type Known,
  monotone,
  multiply,
  remainder,
} from './bounds.ts';
import type { LanguageRule, Rules } from './rules.ts';

// Arithmetic of other languages: where their rules are not stated, a number lies in what every way gives.

/** Notes that a rule decides what comes out here. */
export type Ask = (rule: LanguageRule) => void;

/** Both where they are the same number; else either, which the rule decides. */
function oneOf(a: Known, b: Known, rule: LanguageRule, ask: Ask): Known {
  if (a && b && isExact(a) && isExact(b) && a.lo === b.lo) return a;
  ask(rule);
  return join(a, b);
}

const isWholeNumber = (b: Known): boolean | null =>
  !b ? null : b.lo === b.hi ? Number.isInteger(b.lo) : Math.floor(b.hi) < Math.ceil(b.lo) ? false : null;

/** a / b: exact, or to a whole number where both sides are whole. */
export function quotient(a: Known, b: Known, rules: Rules, ask: Ask): Known {
  const plain = divide(a, b);
  const [x, y] = [isWholeNumber(a), isWholeNumber(b)];
  if (!plain || rules.wholeDivision === false || x === false || y === false) return plain;
  const whole = wholeQuotient(a, b, rules, ask);
  if (rules.wholeDivision && x && y) return whole;
  return oneOf(plain, whole, 'wholeDivision', ask);
}

/** a / b as a whole number: toward 0, or down. */
export function wholeQuotient(a: Known, b: Known, rules: Rules, ask: Ask): Known {
  const plain = divide(a, b);
  if (!plain) return null;
  const down = monotone(plain, Math.floor);
  if (rules.wholePart === 'down' || plain.lo >= 0) return down;
  const cut = monotone(plain, Math.trunc);
  return rules.wholePart === 'toward 0' ? cut : oneOf(cut, down, 'wholePart', ask);
}

/** a % b, with the sign of either side. */
export function rest(a: Known, b: Known, rules: Rules, ask: Ask): Known {
  const left = remainder(a, b);
  if (!a || !b || !left) return null;
  const sameSign = (a.lo >= 0 && b.lo >= 0) || (a.hi <= 0 && b.hi <= 0);
  if (sameSign || rules.remainder === 'as the left side') return left;
  const right = floored(a, b);
  return rules.remainder === 'as the right side' ? right : oneOf(left, right, 'remainder', ask);
}

function floored(a: Bounds, b: Bounds): Known {
  if (isExact(a) && isExact(b)) return exact(a.lo - b.lo * Math.floor(a.lo / b.lo));
  return { lo: Math.min(0, b.lo), hi: Math.max(0, b.hi) };
}

/** a to the power of b; unknown where it is no real number, or where neither side is exact. */
export function power(a: Known, b: Known): Known {
  if (!a || !b) return null;
  if (isExact(a) && isExact(b)) return finite(a.lo ** b.lo, a.lo ** b.lo);
  if (isExact(b) && Number.isInteger(b.lo) && b.lo >= 0) {
    const ends = [a.lo ** b.lo, a.hi ** b.lo];
    const through = b.lo % 2 === 0 && b.lo > 0 && a.lo < 0 && a.hi > 0 ? [0] : [];
    return finite(Math.min(...ends, ...through), Math.max(...ends));
  }
  if (a.lo <= 0) return null;
  const corners = [a.lo ** b.lo, a.lo ** b.hi, a.hi ** b.lo, a.hi ** b.hi];
  return finite(Math.min(...corners), Math.max(...corners));
}
/** With a hair's breadth for what `**` rounds: it is not the nearest number in every machine (ECMA-262 6.1.6.1.3). */
function finite(lo: number, hi: number): Known {
  if (lo === hi) return bounds(lo, hi);
  const slack = (n: number): number => (Number.isFinite(n) ? Math.abs(n) * 1e-12 : 0);
  return bounds(lo - slack(lo), hi + slack(hi));
}

/** The modes in which a half may be rounded. */
type Mode = NonNullable<Rules['rounding']>;
const MODES: readonly Mode[] = ['up', 'to even', 'away from 0'];

/** a rounded to so many digits behind the point. */
export function rounded(a: Known, digits: number, rules: Rules, ask: Ask): Known {
  if (!a || !Number.isInteger(digits) || Math.abs(digits) > 20) return null;
  if (digits === 0 && rules.rounding === 'up') return monotone(a, Math.round);
  const modes = rules.rounding ? [rules.rounding] : MODES;
  const [lows, highs] = [
    modes.map((mode) => roundTo(a.lo, digits, mode)),
    modes.map((mode) => roundTo(a.hi, digits, mode)),
  ];
  const [lo, hi] = [Math.min(...lows), Math.max(...highs)];
  if (lo !== hi && a.lo === a.hi) ask('rounding');
  return bounds(lo, hi);
}

/** One number; "up" as ECMA-262's Math.round has it on a scaled number, the others on the exact decimal digits. */
export function roundTo(n: number, digits: number, mode: Mode): number {
  if (!Number.isFinite(n)) return n;
  if (mode !== 'up' && digits >= 0) return Number(fixedText(n, digits, mode)) + 0;
  const factor = 10 ** digits;
  if (mode === 'up') return Math.round(n * factor) / factor + 0;
  return roundTo(n * factor, 0, mode) / factor;
}

/** A number with so many digits behind the point, as its exact decimal digits round. */
export function fixedText(n: number, digits: number, mode: Mode): string {
  const size = Math.abs(n);
  if (!Number.isFinite(n) || size >= 1e21) return String(n);
  const away = size.toFixed(digits);
  const [whole = '0', behind = ''] = size.toFixed(100).split('.');
  const isHalf = /^50*$/.test(behind.slice(digits));
  const cut = digits > 0 ? `${whole}.${behind.slice(0, digits)}` : whole;
  const last = Number(cut.at(-1));
  const written =
    !isHalf || mode === 'away from 0' ? away : mode === 'to even' ? (last % 2 === 0 ? cut : away) : n < 0 ? cut : away;
  return n < 0 || Object.is(n, -0) ? `-${written}` : written;
}

/** The texts that a number with so many digits may be written as: one, or two where a half may go either way. */
export const fixedTexts = (n: number, digits: number, { rounding }: Rules): readonly string[] => [
  ...new Set((rounding ? [rounding] : MODES).map((mode) => fixedText(n, digits, mode))),
];

/** Where a number lies that is written out with so many digits. */
export function writtenOut(a: Known, digits: number, whole: boolean): Known {
  if (!a) return null;
  if (whole) return bounds(Math.trunc(a.lo), Math.trunc(a.hi));
  const ends = (n: number): number[] =>
    Number.isFinite(n) ? MODES.map((mode) => Number(fixedText(n, digits, mode))) : [n];
  return bounds(Math.min(...ends(a.lo)), Math.max(...ends(a.hi)));
}

/** -(a ^ b ^ c) in all ways: as in mathematics, with the sign first, and that from left to right. */
export function unclearPower(parts: readonly Known[], sign: boolean, ask: Ask): Known {
  const minus = exact(-1);
  const fromRight = ([first = null, ...others]: readonly Known[]): Known => {
    const all = [first, ...others];
    return all.slice(0, -1).reduceRight((behind, part) => power(part, behind), all.at(-1) ?? null);
  };
  const [first = null, ...others] = parts;
  const signed = [sign ? multiply(first, minus) : first, ...others];
  const whole = fromRight(parts);
  const ways = [
    sign ? multiply(whole, minus) : whole,
    fromRight(signed),
    signed.reduce((before, part) => power(before, part)) ?? null,
  ];
  const [one = null] = ways;
  if (one && isExact(one) && ways.every((way) => way && isExact(way) && way.lo === one.lo)) return one;
  ask('power');
  return ways.reduce(hullOf) ?? null;
}

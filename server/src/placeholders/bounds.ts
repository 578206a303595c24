/** A number known to lie in [lo, hi], ends included. Exact where lo = hi. Ends may be infinite, never NaN. */
export interface Bounds {
  readonly lo: number;
  readonly hi: number;
}

/** A number that may not be known at all: null is "unknown", which is never the same as zero. */
export type Known = Bounds | null;

/** An exact number. */
export const exact = (n: number): Bounds => ({ lo: n, hi: n });
/** The bounds of [lo, hi]; null where either end is not a number, or no finite number lies between them. */
export const bounds = (lo: number, hi: number): Known =>
  Number.isNaN(lo) || Number.isNaN(hi) || lo === Number.POSITIVE_INFINITY || hi === Number.NEGATIVE_INFINITY
    ? null
    : { lo, hi };
/** Whether exactly one value is possible. */
export const isExact = (b: Known): b is Bounds => b !== null && b.lo === b.hi;

/** Smallest bounds that hold both. Unknown joined with anything is unknown. */
export function join(a: Known, b: Known): Known {
  if (!a || !b) return null;
  if (a.lo <= b.lo && a.hi >= b.hi) return a;
  return { lo: Math.min(a.lo, b.lo), hi: Math.max(a.hi, b.hi) };
}

/** a plus b. Adding an exact zero gives a itself, which long programs do at every move. */
export function add(a: Known, b: Known): Known {
  if (!a || !b) return null;
  if (b.lo === 0 && b.hi === 0) return a;
  return bounds(a.lo + b.lo, a.hi + b.hi);
}
export const subtract = (a: Known, b: Known): Known => (a && b ? bounds(a.lo - b.hi, a.hi - b.lo) : null);
export const negate = (a: Known): Known => a && { lo: 0 - a.hi, hi: 0 - a.lo };

/** a times b: the extremes lie at the corners. 0 times infinity counts as 0, since infinity stands for "no limit known". */
export function multiply(a: Known, b: Known): Known {
  if (!a || !b) return null;
  const corners = [product(a.lo, b.lo), product(a.lo, b.hi), product(a.hi, b.lo), product(a.hi, b.hi)];
  return bounds(Math.min(...corners), Math.max(...corners));
}
const product = (x: number, y: number): number => (x === 0 || y === 0 ? 0 : x * y);

/** a times a plain number. */
export function scale(a: Known, factor: number): Known {
  if (factor === 1) return a;
  if (!a) return null;
  const lo = product(a.lo, factor);
  const hi = product(a.hi, factor);
  return lo <= hi ? { lo, hi } : { lo: hi, hi: lo };
}

/** a divided by b; unknown where b may be zero. */
export function divide(a: Known, b: Known): Known {
  if (!a || !b || (b.lo <= 0 && b.hi >= 0)) return null;
  const corners = [a.lo / b.lo, a.lo / b.hi, a.hi / b.lo, a.hi / b.hi];
  return bounds(Math.min(...corners), Math.max(...corners));
}

/** ECMAScript remainder (ECMA-262 6.1.6.1.6): takes the sign of the dividend. Unknown where b may be zero. */
export function remainder(a: Known, b: Known): Known {
  if (!a || !b || (b.lo <= 0 && b.hi >= 0)) return null;
  if (isExact(a) && isExact(b)) return bounds(a.lo % b.lo, a.lo % b.lo);
  const most = Math.max(Math.abs(b.lo), Math.abs(b.hi));
  return { lo: a.lo < 0 ? Math.max(-most, a.lo) : 0, hi: a.hi > 0 ? Math.min(most, a.hi) : 0 };
}

export const smaller = (a: Known, b: Known): Known =>
  a && b ? { lo: Math.min(a.lo, b.lo), hi: Math.min(a.hi, b.hi) } : null;
export const larger = (a: Known, b: Known): Known =>
  a && b ? { lo: Math.max(a.lo, b.lo), hi: Math.max(a.hi, b.hi) } : null;

/** |a|. */
export function absolute(a: Known): Known {
  if (!a) return null;
  if (a.lo >= 0) return a;
  if (a.hi <= 0) return { lo: -a.hi, hi: -a.lo };
  return { lo: 0, hi: Math.max(-a.lo, a.hi) };
}

/** A function that never falls as its argument grows (floor, ceil, round). */
export const monotone = (a: Known, f: (n: number) => number): Known => a && bounds(f(a.lo), f(a.hi));

/** The union of two hulls as used for extents, where null means "nothing yet" rather than unknown. */
export const cover = (a: Bounds | null, b: Bounds): Bounds =>
  a ? { lo: Math.min(a.lo, b.lo), hi: Math.max(a.hi, b.hi) } : b;

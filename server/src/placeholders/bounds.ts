/** A number known to lie in [lo, hi], ends included. Exact where lo = hi. Ends may be infinite, never NaN. */
export interface Bounds {
  readonly lo: number;
  readonly hi: number;
  /** Where the number hangs on one placeholder name: how far it lies above that name's value in the same job. */
  readonly over?: Over;
  /** Where the number is room that is left above one name (`reach.top - part.top`): what the two add up to. */
  readonly room?: Room;
}

/** The number and the name's value add up to [lo, hi]. */
export interface Room {
  readonly of: RangedName;
  readonly lo: number;
  readonly hi: number;
  /** From min(): wherever the number is less than `lo`, the sum is `at` or more. */
  readonly cap?: { readonly lo: number; readonly at: number };
}

/**
 * The number less the name's value lies in [lo, hi]. So `part.top + 5` is not just "somewhere from 5 to 255": it is 5
 * above the part in every job, and two such numbers can be told apart.
 */
export interface Over {
  readonly of: RangedName;
  readonly lo: number;
  readonly hi: number;
  /** The name's range in the jobs that come to this number's place, where a condition around it narrows it. */
  readonly here?: RangedName['range'] | undefined;
  /** From min(): wherever the number lies less than `lo` above the name, it is `at` or more. */
  readonly cap?: { readonly lo: number; readonly at: number };
}

/** What a relation needs of a name: its range, and the names that it is never below or above. */
export interface RangedName {
  readonly name: string;
  readonly range: { readonly lo: number; readonly hi: number };
  readonly atLeast?: string | undefined;
  readonly atMost?: string | undefined;
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
  const of = a.over?.of ?? b.over?.of;
  if (of) {
    const [x, y] = [above(a, of), above(b, of)];
    return related(Math.min(a.lo, b.lo), Math.max(a.hi, b.hi), of, Math.min(x.lo, y.lo), Math.max(x.hi, y.hi));
  }
  if (a === b || (!a.room && a.lo <= b.lo && a.hi >= b.hi)) return a;
  return { lo: Math.min(a.lo, b.lo), hi: Math.max(a.hi, b.hi) };
}

/** a plus b. Adding an exact zero gives a itself, which long programs do at every move. */
export function add(a: Known, b: Known): Known {
  if (!a || !b) return null;
  if (b.lo === 0 && b.hi === 0) return a;
  const sum = bounds(a.lo + b.lo, a.hi + b.hi);
  if (!sum || (!a.over && !b.over)) return sum;
  const [carrier, rest] = a.over ? [a.over, b] : [b.over as Over, a];
  const { room } = rest;
  // A place that hangs on a name, and the room above that name: together they hang on it no more.
  const [lo, hi] =
    room?.of.name === carrier.of.name
      ? [Math.max(sum.lo, carrier.lo + room.lo), Math.min(sum.hi, carrier.hi + room.hi)]
      : [sum.lo, sum.hi];
  if (lo > hi) return sum;
  const added = related(lo, hi, carrier.of, carrier.lo + rest.lo, carrier.hi + rest.hi, carrier.here);
  if (!added.over || !room?.cap || room.of.name !== carrier.of.name) return added;
  return { ...added, over: { ...added.over, cap: { lo: carrier.lo + room.cap.lo, at: carrier.lo + room.cap.at } } };
}

/** a less b. Where both hang on one name, or on two whose order is declared, the difference is known far better. */
export function subtract(a: Known, b: Known): Known {
  if (!a || !b) return null;
  const plain = bounds(a.lo - b.hi, a.hi - b.lo);
  if (!plain) return plain;
  if (!a.over && b.over)
    return exactly({ ...plain, room: { of: b.over.of, lo: a.lo - b.over.hi, hi: a.hi - b.over.lo } });
  if (!a.over) return plain;
  let { lo, hi } = plain;
  const [x, y] = [a.over, b.over];
  if (y && x.of.name === y.of.name) {
    lo = Math.max(lo, x.lo - y.hi);
    hi = Math.min(hi, x.hi - y.lo);
  } else if (y) {
    if (isBelow(y.of, x.of)) lo = Math.max(lo, x.lo - y.hi);
    if (isBelow(x.of, y.of)) hi = Math.min(hi, x.hi - y.lo);
  }
  // Rounding may cross ends that meet.
  if (lo > hi) [lo, hi] = [hi, lo];
  return related(lo, hi, x.of, x.lo - b.hi, x.hi - b.lo, x.here);
}

/** An exact number needs no relation. */
const exactly = (b: Bounds): Bounds => (b.lo === b.hi ? { lo: b.lo, hi: b.hi } : b);

/** Whether a's value is declared never to be above b's. */
const isBelow = (a: RangedName, b: RangedName): boolean => a.atMost === b.name || b.atLeast === a.name;

/** How far a number lies above a name: as it says itself, else by the two ranges. */
function above(a: Bounds, of: RangedName): { readonly lo: number; readonly hi: number } {
  if (a.over?.of.name === of.name) return a.over;
  return { lo: a.lo - of.range.hi, hi: a.hi - of.range.lo };
}

/** Bounds with a relation; without it where nothing finite is known of it, or where the number is exact anyway. */
function related(lo: number, hi: number, of: RangedName, overLo: number, overHi: number, here?: Over['here']): Bounds {
  if (lo === hi || !(overLo > Number.NEGATIVE_INFINITY || overHi < Number.POSITIVE_INFINITY)) return { lo, hi };
  return { lo, hi, over: here ? { of, lo: overLo, hi: overHi, here } : { of, lo: overLo, hi: overHi } };
}

/** The number that a name stands for in any job. */
export const ofName = (of: RangedName): Bounds => related(of.range.lo, of.range.hi, of, 0, 0);

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

/** The smaller of two. */
export function smaller(a: Known, b: Known): Known {
  const least = extreme(a, b, Math.min);
  const [left, other] = a?.room ? [a.room, b] : [b?.room, a];
  if (least && left && other && !other.room && !other.over) {
    const { range } = left.of;
    const lo = Math.min(other.lo + range.lo, left.lo);
    const hi = Math.min(other.hi + range.hi, left.hi);
    return exactly({ ...least, room: { of: left.of, lo, hi, cap: { lo: other.lo, at: left.lo } } });
  }
  const [hangs, plain] = a?.over ? [a.over, b] : [b?.over, a];
  if (!least?.over || !hangs || !plain || plain.over) return least;
  return { ...least, over: { ...least.over, cap: { lo: hangs.lo, at: plain.lo } } };
}
/** The larger of two. */
export const larger = (a: Known, b: Known): Known => extreme(a, b, Math.max);

function extreme(a: Known, b: Known, pick: (x: number, y: number) => number): Known {
  if (!a || !b) return null;
  const [lo, hi] = [pick(a.lo, b.lo), pick(a.hi, b.hi)];
  const of = a.over?.of ?? b.over?.of;
  if (!of) {
    // An exact one is one of the two, and a long program then keeps it once.
    if (lo === hi && a.lo === lo && a.hi === hi && !a.room) return a;
    return lo === hi && b.lo === lo && b.hi === hi && !b.room ? b : { lo, hi };
  }
  const here = rangeHere(a.over?.of.name === of.name ? a : b, of);
  const [x, y] = [above(a, { ...of, range: here }), above(b, { ...of, range: here })];
  return related(lo, hi, of, pick(x.lo, y.lo), pick(x.hi, y.hi), here);
}

/**
 * The name's range in the jobs that come to this place, as a number that hangs on it tells: inside a section whose
 * condition narrows the name it is smaller than declared. Holds for numbers of one place only, so not where ways join.
 */
function rangeHere({ lo, hi, over }: Bounds, of: RangedName): RangedName['range'] {
  const { range } = of;
  if (over?.of.name !== of.name) return range;
  const known = over.here ?? range;
  return { lo: Math.max(known.lo, lo - over.hi), hi: Math.min(known.hi, hi - over.lo) };
}

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

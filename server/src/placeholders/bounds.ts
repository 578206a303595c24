import {
  type Atom,
  type AtomChoice,
  atomOf,
  bareAtom,
  type Facts,
  type Form,
  formOf,
  type Interval,
  isWhole,
  loneAtom,
  plainForm,
  rangeOf,
  slackOf,
  sum,
  times,
} from './affine.ts';
import { later } from './facts.ts';
import { type Id, idOf, idOfName, idOfNumber, type Made } from './identity.ts';

/** A number known to lie in [lo, hi], ends included. Exact where lo = hi. Ends may be infinite, never NaN. */
export interface Bounds {
  readonly lo: number;
  readonly hi: number;
  /** Where it hangs on names: as a sum over them, and what number it is. */
  readonly form?: Form;
  /** What the conditions say where it was met; gone where ways join. */
  readonly here?: Facts | undefined;
}

/** What a name is to the numbers that hang on it: its range, and the names that it is never below or above. */
export interface RangedName {
  readonly name: string;
  readonly range: Interval;
  readonly atLeast?: string | undefined;
  readonly atMost?: string | undefined;
  readonly atLeastBy?: number | undefined;
  readonly atMostBy?: number | undefined;
  /** Where it never lies, though its range goes across it; ends left out. */
  readonly gap?: Interval | undefined;
  readonly whole?: boolean | undefined;
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

/** The number that a name stands for in any job. */
export function ofName({ name, range, ...more }: RangedName): Bounds {
  if (range.lo === range.hi) return exact(range.lo);
  const { atLeast, atMost, atLeastBy, atMostBy, gap, whole } = more;
  const atom = { id: idOfName(name), name, range, atLeast, atMost, atLeastBy, atMostBy, gap, whole };
  return { ...range, form: formOf(atom) };
}

/** A number of which nothing is known but where it lies, and that it is the same wherever it is used again. */
export const anew = ({ lo, hi }: Interval): Bounds =>
  lo === hi ? { lo, hi } : { lo, hi, form: formOf(bareAtom(0, { lo, hi })) };

/** Where within its ends a number never lies: that of a name as it is, ends left out; null where there is no such place. */
export function gapIn({ lo, hi, form }: Bounds): Interval | null {
  const gap = form && loneAtom(form)?.gap;
  return gap && gap.lo >= lo && gap.hi <= hi ? gap : null;
}

/** Whether one of two numbers is exact and lies where the other never does. */
export function isInGap(a: Bounds, b: Bounds): boolean {
  const [gap, at] = a.lo === a.hi ? [gapIn(b), a.lo] : b.lo === b.hi ? [gapIn(a), b.lo] : [null, 0];
  return gap !== null && at > gap.lo && at < gap.hi;
}

/** What number it is; 0: nobody can say. */
const idIn = ({ lo, hi, form }: Bounds): Id => form?.id ?? (lo === hi ? idOfNumber(lo) : 0);

/** Whether two numbers are the same in each job, bit for bit. */
export function isSame(a: Known, b: Known): boolean {
  if (!a || !b) return false;
  if (a.lo === a.hi && b.lo === b.hi) return a.lo === b.lo;
  return a.form !== undefined && a.form.id !== 0 && a.form.id === b.form?.id;
}

/** Whether the same is known of two numbers, though they may be two. */
export const isAlike = (a: Known, b: Known): boolean =>
  a === b || (a !== null && b !== null && a.lo === b.lo && a.hi === b.hi && a.form?.id === b.form?.id);

/** A number as a sum over names. */
const formIn = (b: Bounds): Form => b.form ?? plainForm(b.lo, b.hi, idIn(b));

/** Where a number lies in any job, conditions around it aside. */
const anywhere = (b: Bounds): Interval => (b.here && b.form ? rangeOf(b.form) : b);

/** Whether parts of a sum may cancel; 'once': of two names as they are, so that one rounding does not change its sign. */
type Cancels = boolean | 'once';

function cancelsIn(a: Bounds, b: Bounds, here: Facts | undefined): Cancels {
  if (!a.form || !b.form) return false;
  const [x, y] = [loneAtom(a.form), loneAtom(b.form)];
  return x && y && !x.is && !y.is && !here?.notBelow.length ? 'once' : true;
}

/** A number within these ends that is this sum; a sum says of it what it says with room for rounding. */
function made({ lo, hi }: Interval, form: Form, here: Facts | undefined, cancels: Cancels): Bounds {
  if (lo === hi) return { lo, hi };
  if (cancels) {
    const by = rangeOf(form, here);
    const slack = cancels === 'once' ? 0 : slackOf(form);
    const [low, high] = [Math.max(lo, by.lo - slack), Math.min(hi, by.hi + slack)];
    // Ends that cross: no job comes here.
    if (low <= high) [lo, hi] = [low, high];
    if (lo === hi) return { lo, hi };
  }
  if (form.terms.length === 0) return { lo, hi };
  return here ? { lo, hi, form, here } : { lo, hi, form };
}

/** Smallest bounds that hold both, one of which it is. Unknown joined with anything is unknown. */
export function join(a: Known, b: Known): Known {
  if (!a || !b) return null;
  if (a === b) return a;
  const [lo, hi] = [Math.min(a.lo, b.lo), Math.max(a.hi, b.hi)];
  if (isSame(a, b)) {
    if (!a.form || (b.form && a.lo === lo && a.hi === hi && a.here === b.here)) return a;
    if (!b.form) return b;
    const form = isUnscoped(a.form, b.form) ? a.form : formOf(bareAtom(a.form.id, { lo, hi }));
    return a.here === b.here ? { lo, hi, form, here: a.here } : { lo, hi, form };
  }
  if (!a.form && !b.form) return a.lo === lo && a.hi === hi ? a : { lo, hi };
  return { lo, hi, form: formOf(atomOf('one', [formIn(a), formIn(b)], 0, { lo, hi })) };
}

/** Whether one of two forms of one number does for both, though each may have been made under conditions of its own. */
const isUnscoped = (a: Form, b: Form): boolean =>
  a === b || a.terms.every(({ of }) => of.name !== undefined || b.terms.some((term) => term.of === of));

/** The same where only the ends matter. */
export const hullOf = (a: Known, b: Known): Known =>
  !a || !b ? null : a === b && !a.form ? a : { lo: Math.min(a.lo, b.lo), hi: Math.max(a.hi, b.hi) };

/** a plus b. Adding an exact zero gives a itself, which long programs do at every move. */
export function add(a: Known, b: Known): Known {
  if (!a || !b) return null;
  if (b.lo === 0 && b.hi === 0) return a;
  const plain = bounds(a.lo + b.lo, a.hi + b.hi);
  if (!plain || (!a.form && !b.form)) return plain;
  if (a.lo === 0 && a.hi === 0) return b;
  const form = sum(formIn(a), formIn(b), 1, idOf('+', idIn(a), idIn(b)));
  const here = later(a.here, b.here);
  return made(plain, form, here, cancelsIn(a, b, here));
}

/** a less b: what both have in common cancels. */
export function subtract(a: Known, b: Known): Known {
  if (!a || !b) return null;
  const plain = bounds(a.lo - b.hi, a.hi - b.lo);
  if (!plain || (!a.form && !b.form)) return plain;
  if (isSame(a, b)) return exact(0);
  if (b.lo === 0 && b.hi === 0) return a;
  const form = sum(formIn(a), formIn(b), -1, idOf('-', idIn(a), idIn(b)));
  const here = later(a.here, b.here);
  return made(plain, form, here, cancelsIn(a, b, here));
}

const ZERO = exact(0);
export const negate = (a: Known): Known => a && (a.form ? subtract(ZERO, a) : { lo: 0 - a.hi, hi: 0 - a.lo });

/** a times b: the extremes lie at the corners. 0 times infinity counts as 0, since infinity stands for "no limit known". */
export function multiply(a: Known, b: Known): Known {
  if (!a || !b) return null;
  const plain = corners(product, a, b);
  if (!plain || (!a.form && !b.form)) return plain;
  if (b.lo === b.hi) return scaled(plain, a, b.lo, '*', b.lo);
  if (a.lo === a.hi) return scaled(plain, b, a.lo, '*', a.lo);
  return opaque(plain, '*', a, b, corners(product, anywhere(a), anywhere(b)));
}
const product = (x: number, y: number): number => (x === 0 || y === 0 ? 0 : x * y);

function corners(of: (x: number, y: number) => number, a: Interval, b: Interval): Known {
  const each = [of(a.lo, b.lo), of(a.lo, b.hi), of(a.hi, b.lo), of(a.hi, b.hi)];
  return bounds(Math.min(...each), Math.max(...each));
}

/** A number times (or divided by) `number`, which makes `factor` of it. */
function scaled(plain: Interval, a: Bounds, factor: number, by: Made, number: number): Bounds {
  if (factor === 1) return a;
  return made(plain, times(formIn(a), factor, idOf(by, idIn(a), idOfNumber(number))), a.here, false);
}

/** A number that is no sum of others: its identity, and where it lies in any job. */
function opaque(plain: Interval, how: Made, a: Bounds, b: Bounds, any: Known): Bounds {
  const { lo, hi } = plain;
  if (lo === hi) return { lo, hi };
  const id = idOf(how, idIn(a), idIn(b));
  const range = id === 0 ? plain : (any ?? EVERYWHERE);
  return made(plain, formOf(bareAtom(id, { lo: range.lo, hi: range.hi })), later(a.here, b.here), false);
}
const EVERYWHERE: Interval = { lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY };

/** a times a plain number. */
export function scale(a: Known, factor: number): Known {
  if (factor === 1) return a;
  if (!a) return null;
  const [x, y] = [product(a.lo, factor), product(a.hi, factor)];
  const plain = x <= y ? { lo: x, hi: y } : { lo: y, hi: x };
  return a.form ? scaled(plain, a, factor, '*', factor) : plain;
}

/** a divided by b; unknown where b may be zero. */
export function divide(a: Known, b: Known): Known {
  if (!a || !b || mayBeZero(b)) return null;
  const plain = corners(quotient, a, b);
  if (!plain || (!a.form && !b.form)) return plain;
  if (b.lo === b.hi) return scaled(plain, a, 1 / b.lo, '/', b.lo);
  const [any, by] = [anywhere(a), anywhere(b)];
  return opaque(plain, '/', a, b, mayBeZero(by) ? null : corners(quotient, any, by));
}
const quotient = (x: number, y: number): number => x / y;
const mayBeZero = ({ lo, hi }: Interval): boolean => lo <= 0 && hi >= 0;

/** ECMAScript remainder (ECMA-262 6.1.6.1.6): takes the sign of the dividend. Unknown where b may be zero. */
export function remainder(a: Known, b: Known): Known {
  if (!a || !b || mayBeZero(b)) return null;
  if (isExact(a) && isExact(b)) return bounds(a.lo % b.lo, a.lo % b.lo);
  const plain = remains(a, b);
  if (!a.form && !b.form) return plain;
  const [any, by] = [anywhere(a), anywhere(b)];
  return opaque(plain, '%', a, b, mayBeZero(by) ? null : remains(any, by));
}
function remains(a: Interval, b: Interval): Bounds {
  const most = Math.max(Math.abs(b.lo), Math.abs(b.hi));
  return { lo: a.lo < 0 ? Math.max(-most, a.lo) : 0, hi: a.hi > 0 ? Math.min(most, a.hi) : 0 };
}

/** The smaller of two. */
export const smaller = (a: Known, b: Known): Known => extreme(a, b, 'min', Math.min);
/** The larger of two. */
export const larger = (a: Known, b: Known): Known => extreme(a, b, 'max', Math.max);

function extreme(a: Known, b: Known, kind: 'min' | 'max', pick: (x: number, y: number) => number): Known {
  if (!a || !b) return null;
  const [lo, hi] = [pick(a.lo, b.lo), pick(a.hi, b.hi)];
  if (!a.form && !b.form) {
    // An exact one is one of the two, and a long program then keeps it once.
    if (lo === hi && a.lo === lo && a.hi === hi) return a;
    return lo === hi && b.lo === lo && b.hi === hi ? b : { lo, hi };
  }
  if (lo === hi) return { lo, hi };
  const less = isNotAbove(a, b);
  if (less !== null) return within(less === (kind === 'min') ? a : b, lo, hi);
  const [x, y] = [anywhere(a), anywhere(b)];
  const id = idOf(kind, idIn(a), idIn(b));
  const range = id === 0 ? { lo, hi } : { lo: pick(x.lo, y.lo), hi: pick(x.hi, y.hi) };
  const atom = atomOf(kind, [formIn(a), formIn(b)], id, range);
  return made({ lo, hi }, formOf(atom), later(a.here, b.here), true);
}

/** Whether a <= b in every job that comes here, or a >= b in every one; null: neither is known. */
function isNotAbove(a: Bounds, b: Bounds): boolean | null {
  const difference = subtract(a, b);
  return !difference ? null : difference.hi <= 0 ? true : difference.lo >= 0 ? false : null;
}

/** The same number, known to lie within these ends as well. */
const within = (b: Bounds, lo: number, hi: number): Bounds =>
  lo <= b.lo && hi >= b.hi ? b : lo === hi ? { lo, hi } : { ...b, lo: Math.max(lo, b.lo), hi: Math.min(hi, b.hi) };

/** a < b: true or false where it holds, or does not, in every job that comes here. */
export function isLess(a: Known, b: Known): boolean | null {
  if (!a || !b) return null;
  if (a.hi < b.lo) return true;
  if (a.lo >= b.hi) return false;
  if (!a.form && !b.form) return null;
  // An end of a choice is one of its numbers, bit for bit.
  if (isOneOf(a, b, 'max') || isOneOf(b, a, 'min')) return false;
  const difference = subtract(a, b);
  return !difference ? null : difference.hi < 0 ? true : difference.lo >= 0 ? false : null;
}

/** Whether a is the greatest (or the least) of some numbers of which b is one. */
function isOneOf({ form }: Bounds, b: Bounds, kind: AtomChoice['kind']): boolean {
  const only = form?.terms[0]?.of;
  const id = idIn(b);
  return id !== 0 && only?.is?.kind === kind && form?.id === only.id && only.is.forms.some((one) => one.id === id);
}

/** The numbers of which a number is one, where a min(), a max(), or ways that join are part of it; else itself. */
export function eachOf(b: Bounds): readonly Bounds[] {
  const term = b.form?.terms.find(({ of }) => of.is);
  if (!b.form || !term?.of.is) return [b];
  const without: Form = { ...b.form, terms: b.form.terms.filter((one) => one !== term) };
  return term.of.is.forms.map((one) => {
    const form = sum(without, one, term.by, 0);
    return made(rangeOf(form, b.here), form, b.here, false);
  });
}

/** |a|. */
export function absolute(a: Known): Known {
  if (!a) return null;
  if (a.lo >= 0) return a;
  const other = negate(a);
  if (a.hi <= 0) return other;
  const most = Math.max(-a.lo, a.hi);
  return a.form ? within(larger(a, other) ?? a, 0, most) : { lo: 0, hi: most };
}

const ROUNDERS: ReadonlyMap<(n: number) => number, { readonly as: Made; readonly off: Interval }> = new Map([
  [Math.floor, { as: 'floor', off: { lo: -1, hi: 0 } }],
  [Math.ceil, { as: 'ceil', off: { lo: 0, hi: 1 } }],
  [Math.round, { as: 'round', off: { lo: -0.5, hi: 0.5 } }],
]);

/** A function that never falls as its argument grows (floor, ceil, round). */
export function monotone(a: Known, f: (n: number) => number): Known {
  if (!a) return null;
  const plain = bounds(f(a.lo), f(a.hi));
  const rounder = ROUNDERS.get(f);
  if (!plain || !a.form || !rounder) return plain;
  if (isWhole(a.form)) return a;
  const { as, off } = rounder;
  const { form } = a;
  const around: Form = { ...form, lo: form.lo + off.lo, hi: form.hi + off.hi, id: 0 };
  const any = anywhere(a);
  const atom: Atom = { ...atomOf('one', [around], idOf(as, idIn(a)), { lo: f(any.lo), hi: f(any.hi) }), whole: true };
  return made(plain, formOf(atom), a.here, false);
}

/** A number where more is known: the conditions around this place. */
export function narrowed(b: Known, here: Facts): Known {
  if (!b?.form || b.here === here) return b;
  const { form } = b;
  const by = rangeOf(form, here);
  const atom = loneAtom(form);
  const slack = atom && !atom.is ? 0 : slackOf(form);
  const [lo, hi] = [Math.max(b.lo, by.lo - slack), Math.min(b.hi, by.hi + slack)];
  return lo > hi ? b : { lo, hi, form, here };
}

/** The union of two hulls as used for extents, where null means "nothing yet" rather than unknown. */
export const cover = (a: Bounds | null, b: Bounds): Bounds =>
  a ? { lo: Math.min(a.lo, b.lo), hi: Math.max(a.hi, b.hi) } : b;

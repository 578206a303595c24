import { type Id, Own } from './identity.ts';

// Numbers as sums over several names: a constant, a factor for each name, and a rest within bounds. What two such numbers
// have in common cancels, so that `part.left * 2 - part.left` is known as well as `part.left` is.
//
// The theory is that of affine sets: E. Goubault and S. Putot, "Perturbed affine arithmetic for invariant computation in
// numerical program analysis", arXiv:0807.2961 and arXiv:0910.1763 (sums, and a join that keeps the common part);
// K. Ghorbal, E. Goubault and S. Putot, "A logical product approach to zonotope intersection", arXiv:1002.2236 (meeting
// with a condition). Conditions between several names are kept as in weakly relational domains: A. Miné, thesis,
// École Polytechnique 2004. Only the cheap part that these texts need: no closure, a bounded number of everything.

/** A number lies in [lo, hi], ends included. */
export interface Interval {
  readonly lo: number;
  readonly hi: number;
}

/**
 * Something that has one value in each job: a placeholder name, or a number that was made of others in a way that is no
 * sum, and has an identity of its own.
 */
export interface Atom {
  readonly id: Id;
  /** Where it lies in any job at all. */
  readonly range: Interval;
  readonly name?: string;
  /** Names whose value is never larger, or never smaller. */
  readonly atLeast?: string | undefined;
  readonly atMost?: string | undefined;
  /** By how much at least; absent: it may be equal. */
  readonly atLeastBy?: number | undefined;
  readonly atMostBy?: number | undefined;
  /** Where it never lies, though its range goes across it; ends left out. */
  readonly gap?: Interval | undefined;
  /** Only whole numbers. */
  readonly whole?: boolean | undefined;
  readonly is?: AtomChoice;
}

/** What an atom is: the least or the greatest of these, or one of them, nobody knows which. */
export interface AtomChoice {
  readonly kind: 'min' | 'max' | 'one';
  readonly forms: readonly Form[];
}

export interface Term {
  readonly of: Atom;
  readonly by: number;
}

/** The sum of its terms and of a rest within [lo, hi]; `id` tells what number it is. */
export interface Form extends Interval {
  readonly terms: readonly Term[];
  readonly id: Id;
}

/** What is known at one place besides the ranges of the names: what the conditions around it say. */
export interface Facts {
  /** Ranges of names, by identity, where they are smaller than in any job. */
  readonly ranges: ReadonlyMap<Id, Interval>;
  /** Sums that are never below zero there. */
  readonly notBelow: readonly Form[];
  /** Conditions that hold, or do not, by `conditionKey`. */
  readonly truths: ReadonlyMap<string, boolean>;
  /** Conditions around it. */
  readonly depth: number;
  /** No job comes here. */
  readonly impossible: boolean;
}

export const NO_FACTS: Facts = {
  ranges: new Map(),
  notBelow: [],
  truths: new Map(),
  depth: 0,
  impossible: false,
};

/** Terms of one form; the least of more go into its rest. */
const MOST_TERMS = 8;
/** Forms of one choice; more are joined. */
const MOST_FORMS = 4;
/** Forms that are looked at to find one end of one number. */
const MOST_LOOKS = 40;
/** Factors below this come from rounding. */
const NO_FACTOR = 1e-12;

/** Sums of one job are rounded, each in its own order; what follows from cancelling is left a hair's breadth. */
export const ROUNDING = 1e-9;

/** 0 times infinity counts as 0, since infinity stands for "no limit known". */
const product = (x: number, y: number): number => (x === 0 || y === 0 ? 0 : x * y);

/** A form without terms. */
export const plainForm = (lo: number, hi: number, id: Id): Form => ({ terms: [], lo, hi, id });
/** The form of an atom by itself. */
export const formOf = (of: Atom): Form => ({ terms: [{ of, by: 1 }], lo: 0, hi: 0, id: of.id });
/** Whether a form is nothing but an atom, the same number bit for bit. */
export const loneAtom = ({ terms, lo, hi, id }: Form): Atom | null => {
  const [only] = terms;
  return only && terms.length === 1 && only.by === 1 && lo === 0 && hi === 0 && only.of.id === id ? only.of : null;
};

/** a + factor * b. */
export function sum(a: Form, b: Form, factor: number, id: Id): Form {
  let lo = a.lo + product(factor, factor < 0 ? b.hi : b.lo);
  let hi = a.hi + product(factor, factor < 0 ? b.lo : b.hi);
  const terms = [...a.terms];
  for (const { of, by } of b.terms) {
    const at = terms.findIndex((term) => term.of.id === of.id);
    const old = terms[at];
    const now = (old?.by ?? 0) + by * factor;
    if (!old) {
      if (now !== 0) terms.push({ of, by: now });
    } else if (Math.abs(now) > NO_FACTOR * Math.abs(old.by)) terms[at] = { of, by: now };
    else terms.splice(at, 1);
  }
  while (terms.length > MOST_TERMS) {
    const least = terms.reduce((l, term, i) => (width(term) < width(terms[l] as Term) ? i : l), 0);
    const [{ of, by }] = terms.splice(least, 1) as [Term];
    lo += Math.min(product(by, of.range.lo), product(by, of.range.hi));
    hi += Math.max(product(by, of.range.lo), product(by, of.range.hi));
  }
  return { terms, lo, hi, id };
}

const width = ({ of, by }: Term): number => Math.abs(by) * (of.range.hi - of.range.lo);

const ZERO_FORM = plainForm(0, 0, 0);
/** factor * a. */
export const times = (a: Form, factor: number, id: Id): Form => sum(ZERO_FORM, a, factor, id);

/** Whether a form only ever is a whole number, which no rounding changes. */
export const isWhole = ({ terms, lo, hi }: Form): boolean =>
  lo === hi && Number.isSafeInteger(lo) && terms.every(({ of, by }) => of.whole && Number.isSafeInteger(by));

/** What rounding may have changed of a form's ends. */
export const slackOf = (form: Form): number => {
  if (isWhole(form)) return 0;
  const size = Math.max(Math.abs(form.lo), Math.abs(form.hi));
  return ROUNDING * (Number.isFinite(size) ? Math.max(1, size) : 1);
};

/** Where a form lies in the jobs for which these facts hold; rounding is not counted. */
export function rangeOf(form: Form, facts: Facts = NO_FACTS): Interval {
  const lo = lower(form, facts, { left: MOST_LOOKS });
  const hi = 0 - lower(times(form, -1, 0), facts, { left: MOST_LOOKS });
  return { lo, hi };
}

/** The same by its terms' own ranges alone. */
function least({ terms, lo }: Form, { ranges }: Facts): number {
  let end = lo;
  for (const { of, by } of terms) {
    const range = ranges.get(of.id) ?? of.range;
    end += product(by, by < 0 ? range.hi : range.lo);
  }
  return Number.isNaN(end) ? Number.NEGATIVE_INFINITY : end;
}

interface Looks {
  left: number;
}

/** A number below which the form never lies: the greatest that any of these ways gives. */
function lower(form: Form, facts: Facts, looks: Looks): number {
  let best = least(form, facts);
  if (form.terms.length === 0 || looks.left <= 0) return best;
  looks.left--;
  if (form.terms.length > 1) best = Math.max(best, byOrder(form, facts));
  for (const known of facts.notBelow) best = Math.max(best, byFact(form, known, facts));
  const at = form.terms.find(({ of }) => of.is);
  return at?.of.is ? Math.max(best, byChoice(form, at, at.of.is, facts, looks)) : best;
}

/** By declared orders: of two names with factors of both signs, the pair that is never below zero is taken out. */
function byOrder(form: Form, facts: Facts): number {
  let best = Number.NEGATIVE_INFINITY;
  for (const x of form.terms) {
    if (x.by <= 0) continue;
    for (const y of form.terms) {
      const apart = y.by < 0 ? howFarBelow(y.of, x.of) : null;
      if (apart === null) continue;
      const by = Math.min(x.by, -y.by);
      const pair: Form = {
        terms: [
          { of: x.of, by: 1 },
          { of: y.of, by: -1 },
        ],
        lo: -apart,
        hi: -apart,
        id: 0,
      };
      const rest = sum(form, pair, -by, 0);
      best = Math.max(best, least(rest, facts), rest.terms.length > 1 ? byOrder(rest, facts) : best);
    }
  }
  return best;
}

/** How far a's value is declared to lie below b's at least; null: nothing says so. */
function howFarBelow(a: Atom, b: Atom): number | null {
  const ways = [
    b.name !== undefined && a.atMost === b.name ? (a.atMostBy ?? 0) : null,
    a.name !== undefined && b.atLeast === a.name ? (b.atLeastBy ?? 0) : null,
  ].filter((one) => one !== null);
  if (ways.length === 0) return null;
  const apart = Math.max(...ways);
  // Values a distance apart are rounded to get there.
  return apart === 0 ? 0 : apart - ROUNDING * Math.max(1, apart);
}

/** By what is known never to be below zero, as often as takes out one of the terms. */
function byFact(form: Form, known: Form, facts: Facts): number {
  let best = Number.NEGATIVE_INFINITY;
  for (const { of, by } of known.terms) {
    const own = form.terms.find((term) => term.of.id === of.id);
    const often = own ? own.by / by : 0;
    if (often > 0) best = Math.max(best, least(sum(form, known, -often, 0), facts));
  }
  return best;
}

/** By putting in what an atom is. */
function byChoice(form: Form, { of, by }: Term, { kind, forms }: AtomChoice, facts: Facts, looks: Looks): number {
  const without: Form = { ...form, terms: form.terms.filter((term) => term.of.id !== of.id) };
  const ends = forms.map((one) => lower(sum(without, one, by, 0), facts, looks));
  // A least one is never above any of them, so that each gives an end of a number with a factor below zero.
  return (kind === 'min' && by < 0) || (kind === 'max' && by > 0) ? Math.max(...ends) : Math.min(...ends);
}

/**
 * A form that holds both: what they have in common stays, the rest is widened (Goubault and Putot: of each factor the
 * one nearer to zero, none where the signs differ).
 */
export function joinForms(a: Form, b: Form): Form {
  const common: Term[] = [];
  for (const { of, by } of a.terms) {
    // One that was made twice, each time under conditions of its own, has two ranges.
    const other = b.terms.find((term) => term.of === of || (of.name !== undefined && term.of.id === of.id));
    if (other && other.by * by > 0) common.push({ of, by: Math.abs(by) < Math.abs(other.by) ? by : other.by });
  }
  const shared: Form = { terms: common, lo: 0, hi: 0, id: 0 };
  const [x, y] = [rangeOf(sum(a, shared, -1, 0)), rangeOf(sum(b, shared, -1, 0))];
  return { terms: common, lo: Math.min(x.lo, y.lo), hi: Math.max(x.hi, y.hi), id: 0 };
}

/** The forms of a choice: those of a choice of its kind in place of that, none twice, not too many. */
function choiceOf(kind: AtomChoice['kind'], forms: readonly Form[]): AtomChoice {
  const flat = forms.flatMap((form) => {
    const is = loneAtom(form)?.is;
    return is?.kind === kind ? is.forms : [form];
  });
  const once = flat.filter((form, i) => form.id === 0 || flat.findIndex(({ id }) => id === form.id) === i);
  while (once.length > MOST_FORMS) once.push(joinForms(once.pop() as Form, once.pop() as Form));
  return { kind, forms: once };
}

/**
 * An atom for one of several forms.
 * @param id What number it is; 0: one like no other.
 * @param range Where it lies in any job.
 */
export const atomOf = (kind: AtomChoice['kind'], forms: readonly Form[], id: Id, range: Interval): Atom => ({
  id: id || new Own(),
  range,
  is: choiceOf(kind, forms),
});

/** An atom of which only its range is known. */
export const bareAtom = (id: Id, range: Interval): Atom => ({ id: id || new Own(), range });

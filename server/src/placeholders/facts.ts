import {
  type Atom,
  type Facts,
  type Form,
  type Interval,
  isWhole,
  NO_FACTS,
  ROUNDING,
  rangeOf,
  sum,
} from './affine.ts';
import type { Id } from './identity.ts';

// What a condition says of the names in it: the meet of affine sets with a linear condition (arXiv:1002.2236), of which
// the cheap part is taken: each name's range, and the condition itself for sums that hold part of it.

/** Sums that are remembered as never below zero; the oldest go first. */
const MOST_KNOWN = 8;
/** Conditions that are remembered; the oldest go first. */
const MOST_TRUTHS = 31;
/** How often what is known is held against itself. */
const ROUNDS = 2;

/** The facts where `form` is not below zero as well. `above`: nor is it zero. `exact`: no rounding went into it. */
export function meet(facts: Facts, form: Form, above: boolean, exact: boolean): Facts {
  const news = parts(form).map((part) =>
    above && isWhole(part) ? { ...part, lo: part.lo - 1, hi: part.hi - 1 } : part,
  );
  const made = form.terms.some(({ of }) => of.is);
  const room = (exact && !made) || isWhole(form) ? 0 : ROUNDING * Math.max(1, Math.abs(form.lo), Math.abs(form.hi));
  const open = Number.isFinite(room) ? news.map((part) => ({ ...part, lo: part.lo - room, hi: part.hi + room })) : [];
  const notBelow = [...facts.notBelow, ...open.filter(({ terms }) => terms.length > 1)].slice(-MOST_KNOWN);
  const ranges = new Map(facts.ranges);
  let impossible = facts.impossible || open.some((part) => rangeOf(part, facts).hi < -room);
  for (let round = 0; round < ROUNDS; round++)
    for (const part of round === 0 ? [...open, ...facts.notBelow] : notBelow)
      impossible =
        !limitNames(part, { ...facts, ranges, notBelow: [] }, ranges, above && open.includes(part)) || impossible;
  return { ...facts, ranges, notBelow, impossible };
}

/** A least number that is not below zero is one of which no part is: each is said by itself. */
function parts(form: Form): Form[] {
  for (const { of, by } of form.terms) {
    const kind = of.is?.kind;
    if (!of.is || !((kind === 'min' && by > 0) || (kind === 'max' && by < 0))) continue;
    const without: Form = { ...form, terms: form.terms.filter((term) => term.of !== of) };
    return of.is.forms.map((one) => sum(without, one, by, 0));
  }
  return [form];
}

/** Narrows the names in a sum that is not below zero (`above`: nor zero); false where no value is left for one of them. */
function limitNames(form: Form, facts: Facts, ranges: Map<Id, Interval>, above: boolean): boolean {
  for (const { of, by } of form.terms) {
    if (of.name === undefined) continue;
    const others: Form = { ...form, terms: form.terms.filter((term) => term.of.id !== of.id) };
    const end = (0 - rangeOf(others, facts).hi) / by;
    if (Number.isNaN(end)) continue;
    const old = ranges.get(of.id) ?? of.range;
    const now =
      by > 0
        ? { lo: Math.max(old.lo, inside(of, end, 1, above)), hi: old.hi }
        : { lo: old.lo, hi: Math.min(old.hi, inside(of, end, -1, above)) };
    if (now.lo > now.hi) {
      if (now.lo - now.hi > ROUNDING * Math.max(1, Math.abs(now.lo))) return false;
      continue;
    }
    if (now.lo !== old.lo || now.hi !== old.hi) ranges.set(of.id, now);
  }
  return true;
}

/** An end of a range, moved inwards to the next value that the name can have. `above`: the end itself is left out. */
function inside(of: Atom, end: number, inwards: 1 | -1, above: boolean): number {
  const { gap } = of;
  if (gap && inwards > 0 && (end > gap.lo || (above && end === gap.lo)) && end < gap.hi) return gap.hi;
  if (gap && inwards < 0 && (end < gap.hi || (above && end === gap.hi)) && end > gap.lo) return gap.lo;
  return whole(of, end, inwards);
}

/** An end of a range, moved inwards to a whole number for a name that has no others. */
function whole({ whole: only }: Atom, end: number, inwards: 1 | -1): number {
  if (!only || !Number.isFinite(end)) return end;
  return inwards > 0 ? Math.ceil(end - ROUNDING) : Math.floor(end + ROUNDING);
}

/** The facts where a name has one of these values only. */
export function withRange(facts: Facts, { id, range }: Atom, { lo, hi }: Interval): Facts {
  const old = facts.ranges.get(id) ?? range;
  const now = { lo: Math.max(old.lo, lo), hi: Math.min(old.hi, hi) };
  return now.lo > now.hi ? { ...facts, impossible: true } : { ...facts, ranges: new Map(facts.ranges).set(id, now) };
}

/** The facts with a condition known. */
export const withTruth = (facts: Facts, key: string, holds: boolean): Facts =>
  facts.truths.get(key) === !holds
    ? { ...facts, impossible: true }
    : { ...facts, truths: new Map([...facts.truths].slice(-MOST_TRUTHS)).set(key, holds) };

/** One condition further in. */
export const deeper = (facts: Facts = NO_FACTS): Facts => ({ ...facts, depth: facts.depth + 1 });

/** Of the facts at which two numbers of one place were met, the later ones: both hold there. */
export const later = (a: Facts | undefined, b: Facts | undefined): Facts | undefined =>
  !a ? b : !b || a.depth >= b.depth ? a : b;

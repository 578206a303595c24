import { once } from '../text/once.ts';
import { ROUNDING } from './affine.ts';
import { keepAmong } from './among.ts';
import type { Bounds } from './bounds.ts';
import type { Job, Name, Vocabulary } from './vocabulary.ts';

type Plain = number | string | boolean;

/**
 * Exact jobs in the order in which a witness is looked for: the usual job first, then each name alone at the ends of
 * its range and at its values in `more`, then a few names two at a time (of the `first` ones, then of those with values
 * in `more`), then all names low and all high, then `random` seeded jobs, every other of which varies only the `first`
 * names. Names not in `names` keep their usual value. The same arguments give the same jobs.
 * @param matters Whether another value of a name, or of one that an order ties to it, can make a difference: a name alone
 * that makes none is left out.
 */
export function* jobsOver(
  vocabulary: Vocabulary,
  names: readonly string[],
  random = 16,
  more: ReadonlyMap<string, readonly Plain[]> = new Map(),
  first = names.length,
  matters: (name: string) => boolean = () => true,
): Generator<Job> {
  const known = names
    .map((name) => vocabulary.names.get(vocabulary.standIns?.get(name) ?? name))
    .filter((name) => name !== undefined);
  const usual = new Map<string, Plain>();
  for (const name of vocabulary.names.values()) usual.set(name.name, usualValue(name));
  const settle = (changes: ReadonlyMap<string, Plain>): Job => {
    const job = new Map(usual);
    for (const [name, value] of changes) job.set(name, value);
    return related(vocabulary, job, changes);
  };
  yield settle(new Map());
  const alone = known.filter(({ name }) => matters(name));
  for (const name of alone) for (const value of endValues(name)) yield settle(new Map([[name.name, value]]));
  for (const name of alone) for (const value of more.get(name.name) ?? []) yield settle(new Map([[name.name, value]]));
  const near = known.slice(0, first);
  const valuesOf = (name: Name): Plain[] => [...endValues(name), ...(more.get(name.name) ?? [])];
  const paired = [...near, ...known.slice(first).filter(({ name }) => more.has(name))]
    .filter((name) => valuesOf(name).some((value) => value !== usual.get(name.name)))
    .slice(0, MOST_PAIRED);
  for (const [a, b] of pairsOf(paired))
    for (const x of valuesOf(a))
      for (const y of valuesOf(b))
        yield settle(
          new Map([
            [a.name, x],
            [b.name, y],
          ]),
        );
  yield settle(new Map(known.flatMap((name) => pair(name, endValues(name)[0]))));
  yield settle(new Map(known.flatMap((name) => pair(name, endValues(name).at(-1)))));
  const next = generator(1);
  for (let i = 0; i < random; i++) {
    const varied = i % 2 === 0 ? near : known;
    yield settle(new Map(varied.flatMap((name) => pair(name, randomValue(name, more.get(name.name) ?? [], next)))));
  }
}

/** Names of which every two are varied together. */
const MOST_PAIRED = 4;

const pairsOf = (names: readonly Name[]): [Name, Name][] =>
  names.flatMap((a, i) => names.slice(i + 1).map((b): [Name, Name] => [a, b]));

const pair = (name: Name, value: Plain | undefined): [string, Plain][] =>
  value === undefined ? [] : [[name.name, value]];

/** A name's usual value, kept within its range; of a list its usual length. */
export function usualValue(name: Name): Plain {
  const sample = name.sample;
  if (typeof sample !== 'number' || !name.range) return sample;
  return outOfGap(name, clamp(sample, finite(name.range, sample), name), 0);
}

/** The value nearest to this one that a job can give; `way` -1 or 1: none above or below it. */
export function outOfGap({ gap }: Pick<Name, 'gap'>, value: number, way: -1 | 0 | 1): number {
  if (!gap || value <= gap.lo || value >= gap.hi) return value;
  if (way !== 0) return way < 0 ? gap.lo : gap.hi;
  return value - gap.lo < gap.hi - value ? gap.lo : gap.hi;
}

/** The two ends of a range, and that of its upper part; every choice of a text; both states of a flag. A name with a single value has none to vary. */
function endValues(name: Name): Plain[] {
  if (name.kind === 'flag') return [false, true];
  if (name.kind === 'text') return [...(name.choices ?? [])];
  if (!name.range || typeof name.sample !== 'number') return [];
  const { lo, hi } = finite(name.range, name.sample);
  if (lo === hi) return [];
  const [least, most] = [clamp(lo, { lo, hi }, name), clamp(hi, { lo, hi }, name)];
  const { gap } = name;
  return gap && gap.hi > lo && gap.hi < hi ? [least, gap.hi, most] : [least, most];
}

/** Anywhere in the range; where there are values that matter, as often one of them. */
function randomValue(name: Name, more: readonly Plain[], next: () => number): Plain | undefined {
  const ends = endValues(name);
  if (more.length > 0 && (ends.length === 0 || next() < 0.5)) return more[Math.floor(next() * more.length)];
  const [lo, hi] = [ends[0], ends.at(-1)];
  if (typeof lo !== 'number' || typeof hi !== 'number') return ends[Math.floor(next() * ends.length)];
  return clamp(lo + (hi - lo) * next(), { lo, hi }, name);
}

/** An open range is tried up to ten times the usual value, so that jobs stay jobs that somebody might print. */
function finite(range: Bounds, sample: number): Bounds {
  const far = Math.max(100, Math.abs(sample) * 10);
  return {
    lo: Number.isFinite(range.lo) ? range.lo : Math.min(sample, range.hi) - far,
    hi: Number.isFinite(range.hi) ? range.hi : Math.max(sample, range.lo) + far,
  };
}

/** Round figures read better in a message; whole names take whole numbers. */
function clamp(value: number, range: Bounds, name: Name): number {
  const rounded = name.whole || name.kind === 'list' ? Math.round(value) : Math.round(value * 1000) / 1000;
  return rounded >= range.lo && rounded <= range.hi ? rounded : Math.min(Math.max(value, range.lo), range.hi);
}

/**
 * Moves values out of their names' gaps, and then until every declared order between names holds: first those that were not chosen, each of which then
 * stays where a chosen one needs it; where two that were chosen cannot both be, the larger one goes up. The number of one
 * of a list's elements is one in the list (`keepAmong`).
 */
export function related(vocabulary: Vocabulary, job: Map<string, Plain>, chosen: ReadonlyMap<string, Plain>): Job {
  for (const name of gapsOf(vocabulary)) {
    const value = job.get(name.name);
    if (typeof value === 'number') job.set(name.name, outOfGap(name, value, 0));
  }
  const orders = ordersOf(vocabulary);
  const pinned = new Set(chosen.keys());
  for (let pass = 0, moved = true; moved && pass < MOST_PASSES; pass++) {
    moved = false;
    for (const order of orders) moved = keepOrder(vocabulary, job, order, pinned) || moved;
  }
  keepAmong(vocabulary, job, chosen);
  // An order goes round in no circle, so that going up ends.
  for (let pass = 0, moved = true; moved && pass < MOST_PASSES; pass++) {
    moved = false;
    for (const order of orders) moved = keepOrder(vocabulary, job, order, null) || moved;
  }
  return job;
}

const MOST_PASSES = 50;

/** Whether a value lies so far above another at least; a distance may be short of itself by rounding. */
export const isApart = (low: number, high: number, by: number): boolean =>
  by === 0 ? high >= low : high - low >= by - ROUNDING;

/** A declared order: `high` is at least `by` above `low`. `own`: the name that says so. */
interface Order {
  readonly low: string;
  readonly high: string;
  readonly by: number;
  readonly own: string;
}

const gapsOf = once(({ names }: Vocabulary): readonly Name[] => [...names.values()].filter(({ gap }) => gap));

const ordersOf = once(({ names }: Vocabulary): readonly Order[] =>
  [...names.values()].flatMap(({ name, atLeast, atMost, atLeastBy = 0, atMostBy = 0 }) => [
    ...(atLeast === undefined ? [] : [{ low: atLeast, high: name, by: atLeastBy, own: name }]),
    ...(atMost === undefined ? [] : [{ low: name, high: atMost, by: atMostBy, own: name }]),
  ]),
);

/** Keeps one order; whether a value had to move. `pinned`: names that stay, and that grow; null: only upwards. */
function keepOrder({ names }: Vocabulary, job: Map<string, Plain>, order: Order, pinned: Set<string> | null): boolean {
  const { low, high, by, own } = order;
  const [lower, upper] = [job.get(low), job.get(high)];
  if (typeof lower !== 'number' || typeof upper !== 'number' || isApart(lower, upper, by)) return false;
  const other = own === low ? high : low;
  if (pinned?.has(low) && pinned.has(high)) return false;
  const moves = !pinned ? high : pinned.has(own) ? other : own;
  const value = moves === high ? lower + by : upper - by;
  job.set(moves, outOfGap(names.get(moves) ?? {}, value, moves === high ? 1 : -1));
  if (pinned?.has(own) || pinned?.has(other)) pinned.add(moves);
  return true;
}

/** A small seeded generator of numbers in [0, 1): the linear congruential one of Numerical Recipes, chapter 7.1 (figures from memory). */
function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

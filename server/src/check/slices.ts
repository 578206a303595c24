import type { Machine } from '../machine/machine.ts';
import { type Atom, type Facts, type Form, type Interval, NO_FACTS } from '../placeholders/affine.ts';
import { eachOf, exact, type Known, scale, subtract } from '../placeholders/bounds.ts';
import { namesIn } from '../placeholders/expression.ts';
import { meet, withRange } from '../placeholders/facts.ts';
import { related, usualValue } from '../placeholders/jobs.ts';
import { asNumber } from '../placeholders/value.ts';
import type { Job, Name } from '../placeholders/vocabulary.ts';
import type { View } from '../rules/rule.ts';
import { machinePosition } from '../simulate/motion.ts';
import type { Reading, Step } from '../simulate/trace.ts';

// Where the bounds tell which slice of a name's values shows a finding, a job in it is worked out: the sum that is held
// against a limit is solved for one name, the others at their favorable end, and met with the conditions around the step
// (the meet of affine sets, arXiv:1002.2236); then for the next, with what was chosen. The run of the job decides.

type Plain = number | string | boolean;

/** Jobs that are worked out for one step. */
const MOST_OF_A_STEP = 16;

/** Jobs in which this step may go past a limit, as far as its numbers are sums over names. */
export function* slicesOf(view: View, step: Step): Generator<Job> {
  const seen = new Set<string>();
  for (const needs of needsOf(view, step)) {
    if (seen.size >= MOST_OF_A_STEP) return;
    const chosen = solve(view, step, needs);
    if (!chosen) continue;
    const id = JSON.stringify([...chosen]);
    if (seen.has(id)) continue;
    seen.add(id);
    yield jobWith(view, chosen);
  }
}

/**
 * Jobs that come to the places that only some jobs come to: one for each list of conditions there. Whatever may happen
 * behind such a place, and is told without a step of its own, needs a job that gets there.
 */
export function* reachingOf(view: View): Generator<Job> {
  const seen = new Set<unknown>();
  for (const step of view.trace.steps) {
    const { facts } = step.within.env;
    if (!facts || seen.has(facts)) continue;
    seen.add(facts);
    if (seen.size > MOST_PLACES) return;
    const chosen = solve(view, step, []);
    if (chosen) yield jobWith(view, chosen);
  }
}

/** Places of one text for which a job is worked out. */
const MOST_PLACES = 24;

/** The usual job with these values, and what has to make room for them. */
function jobWith({ vocabulary }: View, chosen: ReadonlyMap<string, Plain>): Job {
  const usual = [...vocabulary.names.values()].map((name): [string, Plain] => [name.name, usualValue(name)]);
  return related(vocabulary, new Map([...usual, ...chosen]), chosen);
}

/** Numbers that are all above zero where a limit is passed. */
type Needs = readonly Known[];

function* needsOf(view: View, step: Step): Generator<Needs> {
  const { machine } = view;
  for (const reading of step.readings)
    for (const number of numbersIn(reading.machine))
      for (const need of pastLimits(reading, number, machine)) yield [need];
  const at = machinePosition(step.after);
  if (step.move?.moves.z) {
    for (const name of [view.vocabulary.standIns?.get('part.top') ?? 'part.top']) {
      const top = step.within.env(name);
      if (top?.type === 'number') yield [subtract(asNumber(top), at.z)];
    }
  }
  for (const box of step.move ? (machine?.keepOut ?? []) : [])
    yield [
      ...between(at.x, box.left, box.right),
      ...between(at.y, box.front, box.back),
      ...between(at.z, box.bottom, box.top),
    ];
  const hot = machine?.heat.nozzle.minExtrude;
  if (hot !== undefined) for (const { target } of step.before.nozzles) yield [subtract(exact(hot), target)];
}

/** A number, and each of those of which it is one: of a greatest one it is enough that one of them is above. */
const numbersIn = (number: Known): readonly Known[] => {
  if (!number?.form) return [];
  const each = eachOf(number);
  return each.length > 1 ? [...each.slice(0, MOST_OF_A_STEP), number] : [number];
};

const between = (number: Known, lo: number, hi: number): Known[] => [
  subtract(number, exact(lo)),
  subtract(exact(hi), number),
];

/** What is above zero where a number is past a limit that the machine file states for it, or below the bed. */
function* pastLimits({ limits, quantity }: Reading, number: Known, machine: Machine | null): Generator<Known> {
  if (quantity === 'place z') yield subtract(exact(0), number);
  if (!machine) return;
  for (const path of limits) {
    const { least, most } = rangeAt(path, quantity, machine);
    if (least !== null) yield subtract(exact(least), number);
    if (most !== null) yield subtract(number, exact(most));
  }
}

interface Limits {
  readonly least: number | null;
  readonly most: number | null;
}

/** What a fact of the machine file allows, in the unit of the reading: below `least` and above `most` is past it. */
function rangeAt(path: string, quantity: Reading['quantity'], machine: Machine): Limits {
  const [room, fact] = path.split('.');
  const side = fact ?? '';
  if (room === 'speed') return { least: null, most: scaled(machine.speed[side as keyof Machine['speed']]) };
  if (room === 'heat') {
    const heater = machine.heat[side as keyof Machine['heat']];
    const least = path.endsWith('minExtrude') ? machine.heat.nozzle.minExtrude : null;
    return { least, most: path.endsWith('.max') ? (heater?.max ?? null) : null };
  }
  const area = room === 'reach' ? machine.reach : room === 'bed' ? machine.bed : null;
  if (!area) return NONE;
  if (side === 'bottom') return { least: machine.reach?.bottom ?? null, most: null };
  if (side === 'top') return { least: null, most: machine.reach?.top ?? null };
  const across = quantity.endsWith('x');
  if (area.shape === 'circle') {
    const middle = across ? area.centre.x : area.centre.y;
    return { least: middle - area.radius, most: middle + area.radius };
  }
  if (area.shape === 'rectangle') {
    if (side === 'left' || side === 'front') return { least: area[side], most: null };
    return side === 'right' || side === 'back' ? { least: null, most: area[side] } : NONE;
  }
  const ends = area.points.map((point) => point[across ? 0 : 1]);
  return { least: Math.min(...ends), most: Math.max(...ends) };
}

const NONE: Limits = { least: null, most: null };
const MINUTE = 60;
const scaled = (speed: number | null | undefined): number | null => scale(exact(speed ?? 0), MINUTE)?.lo || null;

/** Values of names for which the step runs and all of `needs` are above zero; null: there are none, or they are not sums. */
function solve(view: View, step: Step, needs: Needs): Map<string, Plain> | null {
  const { env } = step.within;
  const forms: Form[] = [];
  for (const need of needs) {
    if (!need || need.hi <= 0) return null;
    if (need.form) forms.push(need.form);
    else if (need.lo <= 0) return null;
  }
  if (forms.length === 0 && needs.length > 0) return null;
  const known = env.facts ?? NO_FACTS;
  const picked = new Map<Atom, number>();
  const facts = (): Facts => {
    let all = known;
    for (const [atom, n] of picked) all = withRange(all, atom, exact(n));
    return forms.reduce((now, form) => meet(now, form, true, false), all);
  };
  const chosen = decided(view, step);
  for (const atom of namedAtoms([...forms, ...known.notBelow])) {
    const { ranges, impossible } = facts();
    const name = view.vocabulary.names.get(atom.name ?? '');
    if (impossible || !name) return null;
    const value = roundIn(ranges.get(atom.id) ?? atom.range, name);
    picked.set(atom, value);
    chosen.set(name.name, value);
  }
  return facts().impossible ? null : withOthers(view, known, chosen);
}

/** Names on whose ranges a condition alone has something to say. */
function withOthers(view: View, { ranges }: Facts, chosen: Map<string, Plain>): Map<string, Plain> {
  for (const name of ranges.size > 0 ? view.vocabulary.names.values() : []) {
    if (chosen.has(name.name) || !name.range) continue;
    const value = view.trace.env(name.name);
    const id = value?.type === 'number' ? value.form?.terms[0]?.of.id : undefined;
    const range = id === undefined ? undefined : ranges.get(id);
    if (range) chosen.set(name.name, roundIn(range, name));
  }
  return chosen;
}

/** Each name in these sums, the ones of the first sum first. */
function namedAtoms(forms: readonly Form[]): readonly Atom[] {
  const atoms = new Map<string, Atom>();
  for (const { terms } of forms)
    for (const { of } of terms) {
      if (of.name !== undefined && !atoms.has(of.name)) atoms.set(of.name, of);
      if (of.is)
        for (const inner of namedAtoms(of.is.forms)) atoms.set(inner.name ?? '', atoms.get(inner.name ?? '') ?? inner);
    }
  return [...atoms.values()];
}

/** The texts and flags that the conditions around a step decide. */
function decided({ expressions }: View, { guards, within }: Step): Map<string, Plain> {
  const chosen = new Map<string, Plain>();
  for (const { condition } of guards) {
    const expr = expressions.get(condition)?.expr;
    for (const { name } of expr ? namesIn(expr) : []) {
      const value = within.env(name);
      if (value?.type === 'flag' && value.is !== null) chosen.set(name, value.is);
      if (value?.type === 'text' && value.any?.length === 1) chosen.set(name, value.any[0] ?? '');
    }
  }
  return chosen;
}

/** Steps between numbers that a person would type, the roundest first. */
const STEPS = [100, 50, 10, 5, 1, 0.5, 0.1, 0.05, 0.01, 0.001];
/** Ends are left a hair's breadth by rounding, and a condition may leave out the end itself. */
const EDGE = 1e-6;
/** How far an open range is gone into. */
const FAR = 100;

/** The usual value where it lies in a range, else the roundest one near the middle, inside of its ends. */
function roundIn({ lo, hi }: Interval, name: Name): number {
  if (lo === hi) return lo;
  const usual = usualValue(name);
  if (typeof usual === 'number' && usual > lo + EDGE && usual < hi - EDGE) return usual;
  const from = Number.isFinite(lo) ? lo : Math.min(hi, 0) - FAR;
  const to = Number.isFinite(hi) ? hi : Math.max(lo, 0) + FAR;
  const middle = (from + to) / 2;
  const only = name.whole === true || name.kind === 'list';
  for (const step of STEPS) {
    if (only && step < 1) break;
    const value = Math.round(Math.round(middle / step) * step * 1000) / 1000;
    if (only ? value >= from && value <= to : value > from + EDGE && value < to - EDGE) return value;
  }
  return middle;
}

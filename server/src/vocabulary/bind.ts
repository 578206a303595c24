import type { Machine } from '../machine/machine.ts';
import { type Bounds, bounds } from '../placeholders/bounds.ts';
import { headOf, withElements } from '../placeholders/elements.ts';
import { asNumber, evaluate } from '../placeholders/evaluate.ts';
import type { Name, NameKind, Vocabulary } from '../placeholders/vocabulary.ts';
import type { DeclaredName, RangeEnd, VocabularyFile } from './file.ts';
import { rangeEnv } from './rangeNames.ts';

/**
 * The vocabulary of a file on one machine. `usual`: the built-in names on that machine. Built-in names that the file does
 * not take over stay as hidden facts of the job, since the simulator needs them (an end sequence begins at part.top);
 * those that a name of the file stands for are found under that name.
 */
export function bindVocabulary(usual: readonly Name[], machine: Machine | null, file: VocabularyFile): Vocabulary {
  const standIns = new Map<string, string>();
  for (const { name, standsFor } of file.names) if (standsFor !== null) standIns.set(standsFor, name);
  const byName = new Map(usual.map((one) => [one.name, one]));
  const real = (name: string): string => standIns.get(name) ?? name;
  // Below a value of the file's own nothing of the machine's is found.
  const covered = new Set(file.names.map(({ name }) => name));
  const names = new Map<string, Name>();
  for (const one of usual) {
    if (standIns.has(one.name)) continue;
    const { atLeast, atMost, among } = one;
    const related = {
      ...one,
      ...(among ? { among: real(among) } : {}),
      ...(atLeast ? { atLeast: real(atLeast) } : {}),
      ...(atMost ? { atMost: real(atMost) } : {}),
    };
    const shown = (one.fromMachine && !covered.has(headOf(one.name))) || one.hidden || file.extendsBuiltIn;
    names.set(one.name, shown ? related : { ...related, hidden: true });
  }
  for (const declared of file.names) {
    const base = declared.standsFor === null ? null : (byName.get(declared.standsFor) ?? null);
    names.set(declared.name, withoutMachineOrders(bindName(declared, base, machine, real), byName));
  }
  return {
    names: withElements(names.values()),
    ...(file.language ? { language: file.language } : {}),
    ...(file.grammar ? { grammar: file.grammar } : {}),
    standIns,
  };
}

/** The names whose range is upside down on this machine, with what its ends come to there. */
export function upsideDown(
  machine: Machine | null,
  file: VocabularyFile,
): readonly { readonly name: string; readonly lo: number; readonly hi: number }[] {
  return file.names.flatMap(({ name, range }) => {
    if (!range) return [];
    const [lo, hi] = [endOn(machine, range.lo)?.lo, endOn(machine, range.hi)?.hi];
    return lo !== undefined && hi !== undefined && lo > hi ? [{ name, lo, hi }] : [];
  });
}

/** Tools that a job may use where no machine says how many there are. */
export const MOST_TOOLS = 16;

const UNIT: Partial<Record<NameKind, string>> = { temperature: 'degrees C', length: 'mm' };

function bindName(
  { name, kind, ...given }: DeclaredName,
  base: Name | null,
  machine: Machine | null,
  real: (name: string) => string,
): Name {
  const stated = given.range ? rangeOn(machine, given.range.lo, given.range.hi) : null;
  // One element for each tool of the machine.
  const tools = given.perTool
    ? { lo: machine ? Math.max(1, machine.tools) : 1, hi: machine ? Math.max(1, machine.tools) : MOST_TOOLS }
    : null;
  const known = tools ?? (given.range ? stated : (base?.range ?? null));
  const isOff = given.orZero === true && known !== null && known.lo > 0;
  const gap = isOff ? { lo: 0, hi: known.lo } : !given.range && given.orZero !== false ? (base?.gap ?? null) : null;
  const range = isOff ? { lo: 0, hi: known.hi } : known;
  const items = kind === 'list' ? (plainItems(given, given.unit, machine) ?? base?.items ?? null) : null;
  const whole = given.whole ?? base?.whole ?? false;
  const choices = given.choices ?? base?.choices ?? null;
  const roles = given.roles ?? base?.roles ?? null;
  const atLeast = given.atLeast ?? base?.atLeast ?? null;
  const atMost = given.atMost ?? base?.atMost ?? null;
  return {
    name,
    kind,
    unit: given.unit ?? base?.unit ?? UNIT[kind] ?? '',
    range,
    sample: sampleOf(kind, given.sample ?? base?.sample ?? null, range, choices, whole),
    meaning: given.meaning ?? base?.meaning ?? '',
    ...(whole ? { whole } : {}),
    ...(choices ? { choices } : {}),
    ...(roles ? { roles } : {}),
    ...(gap ? { gap } : {}),
    ...(atLeast ? { atLeast: real(atLeast), ...byOf('atLeastBy', given, given.atLeast ? null : base) } : {}),
    ...(atMost ? { atMost: real(atMost), ...byOf('atMostBy', given, given.atMost ? null : base) } : {}),
    ...(items ? { items } : {}),
    ...(base?.among ? { among: real(base.among) } : {}),
    ...(given.perTool ? { perTool: true } : {}),
  };
}

/** By how much an order holds: as stated; else as that of the built-in name, whose order it is. */
function byOf(
  by: 'atLeastBy' | 'atMostBy',
  given: Pick<DeclaredName, 'atLeastBy' | 'atMostBy'>,
  base: Name | null,
): Pick<Name, 'atLeastBy' | 'atMostBy'> {
  const distance = given[by] ?? base?.[by];
  return distance === undefined ? {} : { [by]: distance };
}

/** What each element of a list of plain values is: a name of its own, `.`. */
function plainItems(
  { items: kind, itemRange }: Pick<DeclaredName, 'items' | 'itemRange'>,
  unit: string | null,
  machine: Machine | null,
): readonly Name[] | null {
  if (!kind && !itemRange) return null;
  const range = itemRange ? rangeOn(machine, itemRange.lo, itemRange.hi) : null;
  const own = kind ?? 'number';
  const whole = own === 'count';
  return [
    {
      name: '.',
      kind: own,
      unit: unit ?? UNIT[own] ?? '',
      range,
      sample: sampleOf(own, null, range, null, whole),
      meaning: '',
      ...(whole ? { whole } : {}),
    },
  ];
}

/** The range on this machine; an end that it does not state is open. null: nothing is known, or nothing lies between. */
export function rangeOn(machine: Machine | null, lo: RangeEnd, hi: RangeEnd): Bounds | null {
  const [least, most] = [endOn(machine, lo), endOn(machine, hi)];
  if (!least && !most) return null;
  const [from, to] = [least?.lo ?? Number.NEGATIVE_INFINITY, most?.hi ?? Number.POSITIVE_INFINITY];
  return from <= to ? bounds(from, to) : null;
}

function endOn(machine: Machine | null, end: RangeEnd): Bounds | null {
  return typeof end === 'number' ? { lo: end, hi: end } : asNumber(evaluate(end, rangeEnv(machine)));
}

function sampleOf(
  kind: NameKind,
  given: Name['sample'] | null,
  range: Bounds | null,
  choices: readonly string[] | null,
  whole: boolean,
): Name['sample'] {
  if (kind === 'flag') return typeof given === 'boolean' ? given : true;
  if (kind === 'text')
    return typeof given === 'string' && (!choices || choices.includes(given)) ? given : (choices?.[0] ?? '');
  const wanted = typeof given === 'number' ? given : middle(range);
  const inside = range ? Math.min(range.hi, Math.max(range.lo, wanted)) : wanted;
  const rounded = whole || kind === 'list' ? Math.round(inside) : Math.round(inside * 1000) / 1000;
  return !range || (rounded >= range.lo && rounded <= range.hi) ? rounded : inside;
}

function middle(range: Bounds | null): number {
  if (!range) return 0;
  if (Number.isFinite(range.lo) && Number.isFinite(range.hi)) return (range.lo + range.hi) / 2;
  return Number.isFinite(range.lo) ? range.lo : Number.isFinite(range.hi) ? range.hi : 0;
}

/** An order towards a figure of the machine's is a limit: the figure never gives way. */
function withoutMachineOrders(name: Name, usual: ReadonlyMap<string, Name>): Name {
  const limit = (other: string | undefined): Bounds | null => {
    const one = other === undefined ? undefined : usual.get(other);
    return one?.fromMachine ? (one.range ?? { lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY }) : null;
  };
  const [most, least] = [limit(name.atMost), limit(name.atLeast)];
  if (!most && !least) return name;
  const { atMost, atLeast, ...rest } = name;
  const { atLeastBy = 0, atMostBy = 0 } = name;
  const lo = Math.max(name.range?.lo ?? Number.NEGATIVE_INFINITY, (least?.lo ?? Number.NEGATIVE_INFINITY) + atLeastBy);
  const hi = Math.min(name.range?.hi ?? Number.POSITIVE_INFINITY, (most?.hi ?? Number.POSITIVE_INFINITY) - atMostBy);
  const range = lo <= hi ? { lo, hi } : null;
  const choices = name.choices ?? null;
  return {
    ...rest,
    range,
    sample: sampleOf(name.kind, name.sample, range, choices, name.whole ?? false),
    ...(atMost !== undefined && !most ? { atMost } : {}),
    ...(atLeast !== undefined && !least ? { atLeast } : {}),
  };
}

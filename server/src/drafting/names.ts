import type { NameKind } from '../placeholders/vocabulary.ts';
import type { ItemKind } from '../vocabulary/file.ts';
import type { Seen } from './evidence.ts';
import { standsFor } from './standsFor.ts';
import type { Use } from './uses.ts';

/** A name as the draft declares it, with what that was concluded from. */
export interface DraftName extends Seen {
  readonly name: string;
  readonly kind: NameKind;
  readonly facts: Readonly<Record<string, unknown>>;
  /** "nozzle temperature (S of M104, S of M109)"; '' where nothing tells. */
  readonly usedAs: string;
  /** What a person has to complete. */
  readonly open: readonly string[];
  /** What does not agree. */
  readonly doubt: string | null;
}

/** Everything that is known of a name, over all sources. */
export interface NameEvidence extends Seen {
  readonly name: string;
  readonly uses: readonly Use[];
  /** Of a list: how its elements are used. */
  readonly items: readonly Use[];
  /** Of a list: how many elements it has at least, as its indexes show. */
  readonly least: number;
}

/** Declares a name by how it is used. */
export function draftName(evidence: NameEvidence, taken: Set<string>): DraftName {
  const { name, times, first, items, least } = evidence;
  // What stands in a message or a comment counts where nothing else tells.
  const firm = evidence.uses.filter(({ hearsay }) => !hearsay);
  const uses = firm.some(({ kind }) => kind !== 'flag') || firm.length === evidence.uses.length ? firm : evidence.uses;
  const { kind, chosen, others } = decide(uses);
  const open: string[] = [];
  const meant = kind === 'list' ? null : standsFor(name, kind, uses);
  const facts: Record<string, unknown> = { kind };
  if (meant !== null && !taken.has(meant)) {
    taken.add(meant);
    facts.standsFor = meant;
  } else {
    if (chosen?.unit) facts.unit = chosen.unit;
    if (kind === 'text') choices(uses, facts, open);
    else if (kind === 'list') listFacts(items, least, facts);
    else if (kind !== 'flag') range(uses, kind, facts, open);
    if (uses.length === 0) open.unshift('kind');
    facts.meaning = meaningOf(kind, chosen, items);
    open.push('meaning');
  }
  const same = new Set(uses.filter((use) => use.kind === kind && !PLAIN.test(use.what)).map((use) => use.what));
  const doubt =
    others.length > 0
      ? `these uses do not agree: ${kind} was taken, ${others.join(' and ')} would fit the others`
      : same.size > 1
        ? 'these are not the same thing: check that one name can mean them all'
        : null;
  return { name, times, first, kind, facts, usedAs: usedAs([...uses, ...items]), open, doubt };
}

/** What says nothing about what a value is. */
const PLAIN = /^(a number|a text|a list|yes or no)$/;

function choices(uses: readonly Use[], facts: Record<string, unknown>, open: string[]): void {
  const all = [...new Set(uses.flatMap((use) => use.choices))].filter((one) => one !== '' && one.length <= 200);
  if (all.length > 0) facts.choices = all.slice(0, 200);
  open.push(all.length > 0 ? 'the other choices' : 'choices');
}

function listFacts(items: readonly Use[], least: number, facts: Record<string, unknown>): void {
  const { kind, chosen } = decide(items);
  const is: ItemKind = kind === 'list' ? 'number' : kind;
  if (items.length > 0) facts.items = is;
  if (least > 0) facts.range = [least, Math.max(least, MOST_ITEMS)];
  const ends = chosen && is !== 'text' && is !== 'flag' ? rangeOf(items, is) : null;
  if (ends) facts.itemRange = ends;
}

/** As many tools as a machine may have. Common practice, no source. */
const MOST_ITEMS = 16;

function range(uses: readonly Use[], kind: NameKind, facts: Record<string, unknown>, open: string[]): void {
  const ends = rangeOf(uses, kind);
  if (ends) facts.range = ends;
  else open.push('range');
}

function meaningOf(kind: NameKind, chosen: Use | null, items: readonly Use[]): string {
  const of = kind === 'list' ? (decide(items).chosen?.what ?? null) : (chosen?.what ?? null);
  if (of === null) return 'To be described.';
  const what = kind === 'list' ? `A list: ${of}` : `${of.charAt(0).toUpperCase()}${of.slice(1)}`;
  return `${what}.`.slice(0, 1000);
}

/** `nozzle temperature (S of M104, S of M109), speed (F of G1)`. */
function usedAs(uses: readonly Use[]): string {
  const places = new Map<string, Set<string>>();
  for (const { what, where } of uses) places.set(what, (places.get(what) ?? new Set()).add(where));
  return [...places].map(([what, where]) => `${what} (${[...where].slice(0, 4).join(', ')})`).join(', ');
}

/** A use says more the more special its kind is: what stands in a word tells more than a condition. */
const WEIGHT: Readonly<Record<NameKind, number>> = {
  list: 7,
  temperature: 6,
  length: 5,
  count: 4,
  text: 3,
  number: 2,
  flag: 1,
};

/** The kind that most of the telling uses agree on, and the kinds that contradict it. */
function decide(uses: readonly Use[]): { kind: NameKind; chosen: Use | null; others: readonly string[] } {
  const counts = new Map<NameKind, number>();
  for (const use of uses) counts.set(use.kind, (counts.get(use.kind) ?? 0) + 1);
  const special = [...counts.keys()].filter((kind) => WEIGHT[kind] >= 3);
  const ranked = [...counts].sort(
    ([a, n], [b, m]) => Number(special.includes(b)) - Number(special.includes(a)) || m - n || WEIGHT[b] - WEIGHT[a],
  );
  const kind = counts.has('list') ? 'list' : (ranked[0]?.[0] ?? 'number');
  // A number may decide a section or stand in a calculation whatever it measures.
  const others = ranked.flatMap(([other]) => (other === kind || other === 'flag' || other === 'number' ? [] : [other]));
  return { kind, chosen: uses.find((use) => use.kind === kind) ?? null, others: kind === 'list' ? [] : others };
}

/** The range that the uses of this kind share; null where there is none, or they differ. */
function rangeOf(uses: readonly Use[], kind: NameKind): readonly (number | string)[] | null {
  const given = uses.filter((use) => use.kind === kind && use.range).map((use) => JSON.stringify(use.range));
  const first = given[0];
  return first !== undefined && given.every((one) => one === first) ? JSON.parse(first) : null;
}

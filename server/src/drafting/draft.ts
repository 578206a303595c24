import { type ReadPart, readPart } from '../check/part.ts';
import type { Machine } from '../machine/machine.ts';
import { languageOf } from '../placeholders/language.ts';
import { hasExpression } from '../placeholders/statements.ts';
import { budgetOf, preparing } from '../service/analyze.ts';
import type { Prepared } from '../simulate/context.ts';
import { readableUntil } from '../syntax/budget.ts';
import type { TagLanguage } from '../syntax/tagStyle.ts';
import { findingTags } from '../syntax/tags.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import { span } from '../text/span.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { MOST_NAMES } from '../vocabulary/schema.ts';
import { machineNameList } from '../vocabulary/vocabulary.ts';
import { languageOfFile } from './asFile.ts';
import { type AskedRule, RuleQuestions } from './asked.ts';
import { conflictsIn } from './conflicts.ts';
import { type DraftSource, Places } from './evidence.ts';
import { loopWords } from './loops.ts';
import { type DraftName, draftName, type NameEvidence } from './names.ts';
import { originOf } from './origin.ts';
import { printPage } from './page.ts';
import { headOf, partsOf } from './parts.ts';
import { findSteering } from './steering.ts';
import { styleOf } from './style.ts';
import { findTable } from './table.ts';
import { findingAllTags, type RawTag } from './tagsIn.ts';
import { findingUses, type NameUses, type Use } from './uses.ts';
import { type ExpressionSource, NOTHING_WRITTEN } from './written.ts';

/** A vocabulary file to begin with. */
export interface VocabularyDraft {
  /** JSON with comments. What is guessed and what is asked is marked in them. */
  readonly text: string;
  /** How many names it declares. */
  readonly names: number;
}

/**
 * Drafts a vocabulary file from one or several sequences in whatever placeholder language: how tags are written, how they
 * steer, how expressions are written, and which names there are, each with what it was concluded from. What no text shows
 * is asked. The draft always loads without a finding. Never throws.
 */
export const draftVocabulary = (sources: readonly DraftSource[], machine: Machine | null): VocabularyDraft =>
  finish(draftingVocabulary(sources, machine));

/** The same in pieces. */
export function* draftingVocabulary(sources: readonly DraftSource[], machine: Machine | null): Pieces<VocabularyDraft> {
  const places = new Places(sources);
  const tags = yield* findingAllTags(sources, places);
  const steering = findSteering(tags.tags);
  yield;
  const style = styleOf(sources, tags, steering, places);
  const formatsBehind = tags.formatsBehind.map(({ form }) => form);
  const known = { ...NOTHING_WRITTEN, formatsBehind };
  const parts = sources.map((source) => partOf(source, style.language));
  const read = parts.map(({ source }) => source);
  const expressions = yield* expressionsIn(read, languageOfFile(style.language, known).tags, places);
  const loops = steering.marks || steering.statements.some(({ is }) => is === 'each') ? loopWords(expressions) : {};
  const table = findTable(expressions, { formatsBehind, loops });
  yield;
  const own = languageOfFile(style.language, table.written);
  const bare = languageOf(own.grammar, table.declared);
  const first: Prepared[] = [];
  const uses: NameUses[] = [];
  for (const { text, role } of read) {
    const prepared = yield* preparing(text, role, machine, own.tags, undefined, bare);
    first.push(prepared);
    uses.push(yield* findingUses(prepared));
  }
  const isTool = (name: string): boolean =>
    uses.some((one) => one.uses.get(name)?.of.some(({ what }) => what === 'number of a tool') === true) ||
    /(^|[._])tool$/i.test(name);
  const origin = originOf(
    sources,
    uses.map(({ indexes }) => indexes),
    isTool,
    places,
  );
  const names = namesOf(uses, places, origin.first).slice(0, MOST_NAMES);
  const asked = askedOf(first, names, places, origin.first);
  if (tags.doubtfulTrim) asked.push({ property: 'trims', place: tags.doubtfulTrim, at: '-' });
  const shown = ({ span }: RawTag, source: number): string => sources[source]?.text.slice(span.start, span.end) ?? '';
  const conflicts = conflictsIn(tags.tags, steering, shown, places);
  const found = { tags, steering, style, table, names, origin, asked, conflicts };
  const unread = parts.map(({ part }) => part);
  return loading(headOf(sources, unread, found), partsOf(sources, found, places), names);
}

/** A source as far as a sequence is read, and what is said of that; null: all of it. */
function partOf(
  source: DraftSource,
  language: TagLanguage,
): { readonly source: DraftSource; readonly part: ReadPart | null } {
  const { text, role } = source;
  const budget = budgetOf(role);
  const until = readableUntil(text, budget, language);
  if (until >= text.length) return { source, part: null };
  return {
    source: { ...source, text: text.slice(0, until) },
    part: readPart({ text, rest: span(until, text.length) }, budget),
  };
}

/** Leaves out what has a fault beside the rest, until the draft loads without one. */
function loading(
  head: readonly string[],
  parts: ReturnType<typeof partsOf>,
  names: readonly DraftName[],
): VocabularyDraft {
  const without = new Set<string>();
  for (;;) {
    const left = [...without].filter((id) => id.startsWith('names ')).map((id) => JSON.stringify(id.slice(6)));
    const note =
      left.length > 0
        ? [`Left out, since they cannot be declared beside the others: ${left.slice(0, 20).join(', ')}`]
        : [];
    const { text, ids } = printPage([...head, ...note], parts, without);
    const rows = new Set(
      readVocabulary(text).problems.map(({ span }) => text.slice(0, span.start).split('\n').length - 1),
    );
    const faulty = [...rows].flatMap((row) => ids[row] ?? []).filter((id) => !without.has(id));
    const declared = names.filter(({ name }) => !without.has(`names ${name}`)).length;
    if (rows.size === 0) return { text, names: declared };
    if (faulty.length === 0) return { text: printPage(head, [], without).text, names: 0 };
    for (const id of faulty) without.add(id);
  }
}

/** Every expression of every tag, once the tags and what steers are known. */
function* expressionsIn(
  sources: readonly DraftSource[],
  language: TagLanguage,
  places: Places,
): Pieces<readonly ExpressionSource[]> {
  const found: ExpressionSource[] = [];
  for (const [source, { text }] of sources.entries()) {
    // Tags alone: how lines are read does not matter yet.
    const tags = yield* findingTags(text, { text, found: [] }, { steps: 0 }, language);
    for (const tag of tags) {
      if (!hasExpression(tag)) continue;
      const is = tag.kind === 'value' || tag.kind === 'set' ? 'value' : tag.keyword === 'each' ? 'list' : 'condition';
      const place = places.at(source, tag.span.start);
      const inner = text.slice(tag.inner.start, tag.inner.end);
      // A case may have several values.
      const all = tag.keyword === 'case' && inner.includes(',') ? [`[${inner}]`] : [inner];
      for (const one of all) if (one.trim() !== '') found.push({ text: one, is, place });
    }
  }
  return found;
}

/** The names that a job gives, in the order in which they appear. */
function namesOf(uses: readonly NameUses[], places: Places, first: 0 | 1 | null): DraftName[] {
  const own = new Set([...machineNameList(), ...uses.flatMap((one) => [...one.own])]);
  const all = new Map<string, { evidence: NameEvidence; uses: Use[]; items: Use[] }>();
  const of = (name: string, source: number, at: number) => {
    const one = all.get(name) ?? {
      evidence: { name, times: 0, first: places.at(source, at), uses: [], items: [], least: 0 },
      uses: [],
      items: [],
    };
    all.set(name, one);
    return one;
  };
  uses.forEach(({ uses: named, items, indexes }, source) => {
    for (const [name, { at, times, of: list }] of named) {
      if (name.endsWith('[]') || own.has(name) || LOOP.test(name)) continue;
      const one = of(name, source, at);
      one.evidence = { ...one.evidence, times: one.evidence.times + times };
      one.uses.push(
        ...list.filter((use) => !one.uses.some((other) => other.where === use.where && other.what === use.what)),
      );
      one.items.push(...(named.get(`${name}[]`)?.of ?? []));
    }
    for (const [item, list] of items) if (all.has(list)) of(list, source, 0).items.push(...(named.get(item)?.of ?? []));
    for (const { list, number, at } of indexes) {
      if (number === null || !all.has(list)) continue;
      const one = of(list, source, at);
      one.evidence = { ...one.evidence, least: Math.max(one.evidence.least, number - (first ?? 1) + 1) };
    }
  });
  const taken = new Set<string>();
  return [...all.values()].map((one) => draftName({ ...one.evidence, uses: one.uses, items: one.items }, taken));
}

/** What a loop itself gives in some languages. */
const LOOP = /^(for)?loop\./i;

function askedOf(
  prepared: readonly Prepared[],
  names: readonly DraftName[],
  places: Places,
  first: 0 | 1 | null,
): AskedRule[] {
  const kinds = new Map(names.map(({ name, kind }) => [name, kind]));
  const asking = new RuleQuestions(places, (name) => kinds.get(name) ?? null);
  prepared.forEach((one, source) => {
    asking.text(one, source);
  });
  const lower = new Map<string, DraftName>();
  for (const name of names) {
    const small = name.name.toLowerCase();
    const other = lower.get(small);
    if (other) asking.ask('expressions.names.caseMatters', name.first, `${other.name}, ${name.name}`);
    else lower.set(small, name);
  }
  return asking.list.filter(({ property }) => property !== 'expressions.firstIndex' || first === null);
}

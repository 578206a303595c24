import { type ReadPart, readPart } from '../check/part.ts';
import type { Machine } from '../machine/machine.ts';
import type { NameKind } from '../placeholders/vocabulary.ts';
import type { Role } from '../syntax/role.ts';
import { languageOf } from '../syntax/tagLanguage.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { MOST_NAMES } from '../vocabulary/schema.ts';
import { machineNameList } from '../vocabulary/vocabulary.ts';
import { budgetOf, preparing } from './analyze.ts';
import { type DraftTags, findStyle } from './draftTags.ts';
import { findingUses, type Use } from './draftUses.ts';

/** A vocabulary file to begin with. */
export interface VocabularyDraft {
  /** JSON with comments; what the person should fill in is marked `fill in`. */
  readonly text: string;
  /** How many names it declares. */
  readonly names: number;
}

/**
 * Drafts a vocabulary file from a sequence in whatever placeholder language: finds the delimiters, the section keywords
 * and the names, and infers each name's kind, unit and range from where it is used. The draft always loads without
 * errors. Never throws.
 */
export const draftVocabulary = (text: string, role: Role, machine: Machine | null): VocabularyDraft =>
  finish(draftingVocabulary(text, role, machine));

/** The same in pieces. */
export function* draftingVocabulary(text: string, role: Role, machine: Machine | null): Pieces<VocabularyDraft> {
  const tags = findStyle(text);
  yield;
  const budget = budgetOf(role);
  const prepared = yield* preparing(text, role, machine, languageOf(tags.style), budget);
  const uses = yield* findingUses(prepared);
  const part = readPart(prepared.tree, budget);
  const own = new Set(machineNameList());
  let entries = [...uses].filter(([name]) => !own.has(name)).slice(0, MOST_NAMES);
  const left: string[] = [];
  for (;;) {
    const draft = write(tags, entries, left, part);
    const faulty = faultyNames(draft);
    if (faulty === null) return { text: draft, names: entries.length };
    const kept = entries.filter(([name]) => !faulty.has(name));
    // A fault that lies in no name: the tags alone are left out too.
    if (kept.length === entries.length)
      return {
        text: write({ ...tags, style: { delimiters: [['{{', '}}']], keywords: null } }, [], left, part),
        names: 0,
      };
    left.push(...entries.flatMap(([name]) => (faulty.has(name) ? [name] : [])));
    entries = kept;
  }
}

/** The names at whose places the draft has errors; null where it has none. */
function faultyNames(draft: string): Set<string> | null {
  const errors = readVocabulary(draft).problems.filter(({ severity }) => severity === 'error');
  if (errors.length === 0) return null;
  const names = new Set<string>();
  for (const { span } of errors) {
    const row = draft.slice(draft.lastIndexOf('\n', span.start) + 1, span.start + 1);
    const line = row + draft.slice(span.start + 1).split('\n', 1)[0];
    const key = /^\s*("(?:[^"\\]|\\.)*"): \{/.exec(line)?.[1];
    if (key !== undefined) names.add(JSON.parse(key));
  }
  return names;
}

type Entries = readonly (readonly [string, readonly Use[]])[];

function write(
  { style, counts, unclear }: DraftTags,
  entries: Entries,
  left: readonly string[],
  part: ReadPart | null,
): string {
  const rows: string[] = [
    '// A vocabulary drafted from one sequence. It is a beginning: look through every line, and complete',
    '// what says "fill in". Ranges decide which jobs a sequence is checked for: take them as wide as the',
    '// program that fills them in allows.',
    ...(part ? partRows(part) : []),
    '{',
    '  "name": "drafted vocabulary", // fill in: what you call the program or its settings',
    '',
  ];
  const found = counts.some((n) => n > 0);
  rows.push(
    found
      ? `  // Found ${style.delimiters.map(([open, close], i) => `${comment(open)} ${comment(close)} ${times(counts[i] ?? 0)}`).join(', ')}.`
      : '  // No tags were found. fill in: what stands around a placeholder.',
  );
  rows.push(`  "delimiters": ${spaced(style.delimiters)},`);
  if (style.keywords) rows.push(`  "keywords": ${spaced(style.keywords)}, // told from their places: check them`);
  if (unclear.length > 0)
    rows.push(
      `  // fill in: tags that are no plain values: ${unclear
        .slice(0, 8)
        .map((one) => comment(one))
        .join(' | ')}`,
      ...(style.keywords ? [] : ['  // "keywords": { "if": "…", "elseIf": "…", "else": "…", "end": "…" },']),
    );
  rows.push('');
  if (left.length > 0)
    rows.push(
      `  // Left out, since they cannot be declared beside the others: ${left
        .slice(0, 20)
        .map((one) => comment(one))
        .join(', ')}`,
    );
  rows.push(
    '  // Where a name means the same as a built-in one, say so: "standsFor": "part.top" (the height of the',
    '  // part), "heat.nozzle.first" and so on. Range and meaning are then taken from there.',
    '  "names": {',
  );
  entries.forEach(([name, uses], i) => {
    rows.push(...entryRows(name, uses, i < entries.length - 1));
  });
  rows.push('  }', '}', '');
  return rows.join('\n');
}

/** Says that there may be more names than these. */
const partRows = ({ upTo, has }: ReadPart): string[] => [
  upTo === null
    ? '// Nothing of the sequence was read, because its line 1 alone has'
    : `// The sequence was read ${upTo}, because it has`,
  `// ${has}.`,
  '// Names in the rest of it are missing here. Split it into shorter files and draft from each.',
];

/** JSON on one row, with blanks as people write them. */
function spaced(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(spaced).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  return `{ ${Object.entries(value)
    .map(([key, one]) => `${JSON.stringify(key)}: ${spaced(one)}`)
    .join(', ')} }`;
}

const times = (n: number): string => (n === 1 ? 'once' : `${n} times`);

/** A text as a comment may hold it: on one row. */
const comment = (text: string, most = 80): string => text.replace(/[\p{Cc}\u2028\u2029]/gu, ' ').slice(0, most);

/** `nozzle temperature (S of M104, S of M109), speed (F of G1)`. */
function usedAs(uses: readonly Use[]): string {
  const places = new Map<string, Set<string>>();
  for (const { what, where } of uses) places.set(what, (places.get(what) ?? new Set()).add(where));
  return [...places].map(([what, where]) => `${what} (${[...where].join(', ')})`).join(', ');
}

function entryRows(name: string, uses: readonly Use[], more: boolean): string[] {
  const { kind, chosen, others } = decide(uses);
  const rows: string[] = [];
  const facts: Record<string, unknown> = { kind };
  const open: string[] = [];
  if (chosen?.unit) facts.unit = chosen.unit;
  if (kind === 'text') {
    const choices = [...new Set(uses.flatMap((use) => use.choices))].filter((one) => one !== '' && one.length <= 200);
    if (choices.length > 0) facts.choices = choices.slice(0, 200);
    open.push(choices.length > 0 ? 'the other choices' : 'choices');
  } else if (kind !== 'flag') {
    const range = rangeOf(uses, kind);
    if (range) facts.range = range;
    else open.push('range');
  }
  if (uses.length === 0) open.unshift('kind');
  facts.meaning = chosen
    ? `${chosen.what.charAt(0).toUpperCase()}${chosen.what.slice(1)}.`.slice(0, 1000)
    : 'To be described.';
  open.push('meaning');
  if (uses.length > 0) rows.push(`    // Used as ${comment(usedAs(uses), 400)}.`);
  if (others.length > 0)
    rows.push(
      `    // These uses do not agree: ${kind} was taken, ${others.join(' and ')} would fit the others. Check which is right.`,
    );
  else if (new Set(uses.filter((use) => use.kind === kind).map((use) => use.what)).size > 1)
    rows.push('    // These are not the same thing: check that one name can mean them all.');
  const body = Object.entries(facts).map(([key, value]) => `${JSON.stringify(key)}: ${spaced(value)}`);
  rows.push(`    ${JSON.stringify(name)}: { ${body.join(', ')} }${more ? ',' : ''} // fill in: ${open.join(', ')}`);
  return rows;
}

/** A use says more the more special its kind is: what stands in a word tells more than a condition. */
const WEIGHT: Readonly<Record<NameKind, number>> = {
  temperature: 6,
  length: 5,
  count: 4,
  text: 3,
  list: 3,
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
  const kind = ranked[0]?.[0] ?? 'number';
  // A number may decide a section or stand in a calculation whatever it measures.
  const others = ranked.slice(1).flatMap(([other]) => (other === 'flag' || other === 'number' ? [] : [other]));
  return { kind, chosen: uses.find((use) => use.kind === kind) ?? null, others };
}

/** The range that the uses of this kind share; null where there is none, or they differ. */
function rangeOf(uses: readonly Use[], kind: NameKind): readonly (number | string)[] | null {
  const given = uses.filter((use) => use.kind === kind && use.range).map((use) => JSON.stringify(use.range));
  const first = given[0];
  return first !== undefined && given.every((one) => one === first) ? JSON.parse(first) : null;
}

import type { ReadPart } from '../check/part.ts';
import { STATEMENT_KINDS } from '../syntax/tagLanguage.ts';
import { pairPart } from './asFile.ts';
import { type AskedRule, QUESTIONS } from './asked.ts';
import type { DraftSource, Places, Seen } from './evidence.ts';
import type { DraftName } from './names.ts';
import { whyNone } from './none.ts';
import type { Origin } from './origin.ts';
import { type DraftPart, remark, spaced } from './page.ts';
import type { FoundStatement, FoundSteering } from './steering.ts';
import type { FoundStyle } from './style.ts';
import type { FoundTable } from './table.ts';
import type { FoundTags } from './tagsIn.ts';
import { expressionsPart } from './written.ts';

/** All that was found, from which the draft is written. */
export interface Findings {
  readonly tags: FoundTags;
  readonly steering: FoundSteering;
  readonly style: FoundStyle;
  readonly table: FoundTable;
  readonly names: readonly DraftName[];
  readonly origin: Origin;
  readonly asked: readonly AskedRule[];
  /** What contradicts itself in the sources. */
  readonly conflicts: readonly string[];
}

/** The remarks above the draft. */
export function headOf(
  sources: readonly DraftSource[],
  parts: readonly (ReadPart | null)[],
  { style, tags, conflicts }: Findings,
): readonly string[] {
  const from = sources.length === 1 ? 'one sequence' : `${sources.length} sequences`;
  const any = style.pairs.length > 0 || tags.lineMarks.length > 0;
  return [
    `A vocabulary drafted from ${from}. Lines with "guess" are inferred: confirm or correct each of them. Lines with "ask"`,
    'cannot be inferred: keep one of the answers under each. Ranges decide which jobs a sequence is checked for: make them',
    'as wide as the program that fills the sequence in allows.',
    ...(any || parts.some((part) => part?.upTo === null)
      ? []
      : [remark(`No placeholders were found: ${whyNone(sources)}.`, 600)]),
    ...conflicts.map((one) => remark(`Check: ${one}`, 400)),
    ...parts.flatMap((part, i) => (part ? partRows(part, sources.length > 1 ? (sources[i]?.name ?? '') : '') : [])),
  ];
}

/** Says that there may be more names than these. */
function partRows({ upTo, has }: ReadPart, name: string): string[] {
  const what = name === '' ? 'The sequence' : remark(name);
  return [
    upTo === null
      ? `Nothing of ${name === '' ? 'the sequence' : remark(name)} was read, because its line 1 alone has`
      : `${what} was read ${upTo}, because it has`,
    `${has}.`,
    'Names in the rest of it are missing here. Split it into shorter files and draft from each.',
  ];
}

/** The properties of the draft, in the order in which they are written. */
export function partsOf(sources: readonly DraftSource[], found: Findings, places: Places): readonly DraftPart[] {
  const { tags, style, asked } = found;
  const sure = (seen: Seen): string => places.sureness(seen);
  const none = style.pairs.length === 0 && tags.lineMarks.length === 0;
  if (none) return [nameRow(sources)];
  const parts: DraftPart[] = [nameRow(sources), ...delimiterRows(style, sure)];
  if (tags.lineMarks.length > 0)
    parts.push(
      property(
        'lineStatements',
        tags.lineMarks.map(({ sign }) => sign),
        tags.lineMarks.map((one) => `${one.sign} ${sure(one)}`).join(', '),
      ),
    );
  if (style.escapes.length > 0)
    parts.push(
      property(
        'escapes',
        Object.fromEntries(style.escapes.map(({ written, gives }) => [written, gives])),
        style.escapes.map((one) => `${one.written} ${sure(one)}`).join(', '),
      ),
    );
  if (tags.trims.length > 0)
    parts.push(
      property(
        'trims',
        tags.trims.map(({ sign }) => sign),
        tags.trims.map((one) => `${one.sign} ${sure(one)}`).join(', '),
      ),
    );
  parts.push(...questions(asked, 'trims', places), ...keywordRows(found.steering.statements, sure));
  parts.push(...expressionRows(found, places));
  parts.push({ is: 'group', id: 'rules', key: 'rules', parts: questions(asked, 'rules', places) });
  for (const { text, place } of found.table.unread.slice(0, 8))
    parts.push({
      is: 'note',
      text: `Not followed, so its value is unknown: ${text.slice(0, 100)} (${places.said(place)})`,
    });
  parts.push({ is: 'group', id: null, key: 'names', parts: found.names.map((name) => entryRow(name, sure)) });
  return parts;
}

const nameRow = (_: readonly DraftSource[]): DraftPart => ({
  is: 'property',
  id: null,
  key: 'name',
  json: '"drafted vocabulary"',
  guess: null,
  fill: 'what you call the program or its settings',
});

const property = (key: string, value: unknown, guess: string, id = key): DraftPart => ({
  ...{ is: 'property', id, key, guess, fill: null },
  json: spaced(value),
});

function delimiterRows({ pairs }: FoundStyle, sure: (seen: Seen) => string): readonly DraftPart[] {
  // Line statements alone leave values as usual.
  if (pairs.length === 0) return [];
  const list = pairs.map(({ pair: { open, close, holds } }) => pairPart(open, close, holds));
  const guess = pairs.map((one) => `${`${one.pair.open} ${one.pair.close}`.trim()} ${sure(one)}`).join(', ');
  return [{ ...property('delimiters', list, guess), id: null } as DraftPart];
}

function keywordRows(statements: readonly FoundStatement[], sure: (seen: Seen) => string): readonly DraftPart[] {
  if (statements.length === 0) return [];
  const rows = STATEMENT_KINDS.flatMap((is): DraftPart[] => {
    const forms = statements.filter((one) => one.is === is);
    if (forms.length === 0) return [];
    const value = forms.length === 1 ? forms[0]?.form : forms.map(({ form }) => form);
    const guess = forms.map((one) => (forms.length === 1 ? sure(one) : `${one.form} ${sure(one)}`)).join(', ');
    return [property(is, value, guess, `keywords ${is}`)];
  });
  return [{ is: 'group', id: 'keywords', key: 'keywords', parts: rows }];
}

/** The questions whose answers stand in a part of the file. */
const questions = (asked: readonly AskedRule[], part: string, places: Places): DraftPart[] =>
  asked
    .filter(({ property: at }) => at === part || at.slice(0, at.lastIndexOf('.')) === part)
    .map(({ property: at, place, at: tag }) => {
      const { asks, answers } = QUESTIONS[at];
      const key = at.slice(at.lastIndexOf('.') + 1);
      return {
        is: 'question',
        asks: `${asks} It decides ${remark(tag, 80)} on ${places.said(place)}.`,
        answers: answers.map(([json, does]) => ({ json: `${JSON.stringify(key)}: ${json}`, does })),
      };
    });

function expressionRows({ table, origin, asked }: Findings, places: Places): readonly DraftPart[] {
  const part = expressionsPart(table.written, origin.first) ?? {};
  const open = questions(asked, 'expressions', places);
  const inNames = questions(asked, 'expressions.names', places);
  const rows = Object.entries(part).map(([key, value]): DraftPart => {
    const seen = (path: string): string => evidenceOf(table, path, places);
    if (key === 'operators' || key === 'functions' || key === 'names' || key === 'loops') {
      const inner = Object.entries(value as Record<string, unknown>).map(([name, one]) =>
        property(name, one, seen(`${key}.${name}`), `expressions ${key} ${name}`),
      );
      const more = key === 'names' ? inNames : [];
      return { is: 'group', id: `expressions ${key}`, key, parts: [...inner, ...more] };
    }
    const guess = key === 'firstIndex' ? origin.because : seen(key);
    return property(key, value, guess, `expressions ${key}`);
  });
  if (inNames.length > 0 && part.names === undefined)
    rows.push({ is: 'group', id: 'expressions names', key: 'names', parts: inNames });
  if (rows.length === 0 && open.length === 0) return [];
  return [{ is: 'group', id: 'expressions', key: 'expressions', parts: [...rows, ...open] }];
}

const ASSUMED: Readonly<Record<string, string>> = {
  functions: 'assumed, by its name or by where its result stands',
  loops: 'assumed, by its name',
  formatsBehind: 'directly behind tags',
};

/** What a property of the expressions was concluded from. */
function evidenceOf({ seen }: FoundTable, path: string, places: Places): string {
  const all = [...seen].filter(([key]) => key.startsWith(`${path} `));
  if (all.length === 0) return ASSUMED[path.split('.')[0] ?? ''] ?? 'assumed, since it is usual beside the others';
  return all
    .map(([key, one]) => `${all.length > 1 ? `${key.slice(path.length + 1)} ` : ''}${places.sureness(one)}`)
    .join(', ');
}

function entryRow({ name, facts, usedAs, open, doubt, ...seen }: DraftName, sure: (seen: Seen) => string): DraftPart {
  const more = [usedAs, doubt].filter((one) => one !== null && one !== '');
  return {
    ...{ is: 'property', id: `names ${name}`, key: name },
    json: spaced(facts),
    guess: `${sure(seen)}${more.length > 0 ? `: ${more.join('; ')}` : ''}`,
    fill: open.length > 0 ? open.join(', ') : null,
  };
}

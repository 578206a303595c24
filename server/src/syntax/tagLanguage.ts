import type { StatementForm, StatementKind, TagLanguage, TagPair } from './tagStyle.ts';
import { MUSTACHE } from './tagStyle.ts';

/** How tags are written, in the shape in which a vocabulary file says it. What is absent is as Mustache has it. */
export interface GivenTags {
  readonly delimiters?: readonly GivenPair[];
  readonly lineStatements?: readonly string[];
  readonly escapes?: Readonly<Record<string, string>>;
  readonly raw?: readonly (readonly [string, string])[];
  readonly trims?: readonly string[];
  readonly keywords?: Keywords | null;
  readonly quotes?: readonly string[];
}

/** Opener and close, and what stands between them: anything where nothing is said. */
export type GivenPair = readonly [string, string] | readonly [string, string, TagPair['holds']];

/**
 * The forms of each statement. One that is absent leaves the Mustache marks in force in its place: `#` and `^` where `if`
 * and `unless` are absent, `/` where `end` is.
 */
export type Keywords = { readonly [is in StatementKind]?: string | readonly string[] };

/** All of them, in the order in which they are written and read. */
export const STATEMENT_KINDS: readonly StatementKind[] = [
  'if',
  'unless',
  'elseIf',
  'else',
  'each',
  'switch',
  'case',
  'set',
  'include',
  'end',
];

/** The language that these facts describe. Nothing given: Mustache. */
export function languageOf(given: GivenTags): TagLanguage {
  const pairs = (given.delimiters ?? [])
    .filter(([open]) => open !== '')
    .map(([open, close, holds = 'anything']): TagPair => ({ open, close, holds }));
  const statements = formsOf(given.keywords ?? {});
  const language: TagLanguage = {
    pairs: pairs.length > 0 ? pairs : MUSTACHE.pairs,
    lineMarks: (given.lineStatements ?? []).filter((mark) => mark !== ''),
    escapes: Object.entries(given.escapes ?? {}).flatMap(([written, gives]) => (written ? [{ written, gives }] : [])),
    raw: (given.raw ?? []).filter(([open, close]) => open !== '' && close !== ''),
    trims: (given.trims ?? []).filter((sign) => sign.trim() !== ''),
    statements,
  };
  if (given.quotes) return { ...language, quotes: given.quotes };
  return isMustache(language) ? MUSTACHE : language;
}

/** The statements of a language by what they do, each with all its spellings. Blank ones are left out. */
function formsOf(keywords: Keywords): StatementForm[] {
  return STATEMENT_KINDS.flatMap((is) => {
    const forms = keywords[is] ?? [];
    return (typeof forms === 'string' ? [forms] : forms)
      .map((form) => form.trim().replace(/\s+/g, ' '))
      .filter((form) => form !== '')
      .map((form): StatementForm => ({ is, form }));
  });
}

/** Whether it says no more than the specification does, which knows no quotes. */
const isMustache = ({ pairs, lineMarks, escapes, raw, trims, statements }: TagLanguage): boolean =>
  lineMarks.length + escapes.length + raw.length + trims.length + statements.length === 0 &&
  pairs.length === 1 &&
  pairs[0]?.open === '{{' &&
  pairs[0].close === '}}' &&
  pairs[0].holds === 'anything';

import { span } from '../text/span.ts';
import type { Tag } from './nodes.ts';

/**
 * How a placeholder language writes its tags and steers with them: the whole of it. A plain value, read from a vocabulary
 * file; nothing here follows one program.
 */
export interface TagLanguage {
  readonly pairs: readonly TagPair[];
  /** Signs that make a whole row a statement where they stand first on it: the row goes, its end too. */
  readonly lineMarks: readonly string[];
  /** What is filled in as a sign itself: `{{{{` as `{{`. */
  readonly escapes: readonly { readonly written: string; readonly gives: string }[];
  /** Stretches that are copied as they are. */
  readonly raw: readonly (readonly [string, string])[];
  /** Signs directly inside an end that take the white space beside the tag away. */
  readonly trims: readonly string[];
  /** How sections, loops and settings are written; empty: by the marks of the Mustache specification. */
  readonly statements: readonly StatementForm[];
  /** What texts of its expressions stand in: a close within them closes no tag. Absent: `"` and `'`. */
  readonly quotes?: readonly string[];
}

/** What opens a tag and what closes it; '' as the close: a bare name behind the opening sign. */
export interface TagPair {
  readonly open: string;
  readonly close: string;
  readonly holds: 'anything' | 'values' | 'statements' | 'comments';
}

/**
 * One way to write a statement: its words with capitals where something is put in (CONDITION, ITEM, INDEX, LIST, NAME,
 * VALUE), as `for each ITEM in LIST`, `if (CONDITION) {`, `NAME = VALUE`. A form of `if`, `unless`, `elseIf`, `switch`
 * and `case` that has no such word has its condition or value behind it.
 */
export interface StatementForm {
  readonly is: 'if' | 'unless' | 'elseIf' | 'else' | 'each' | 'switch' | 'case' | 'set' | 'include' | 'end';
  readonly form: string;
}

/** How a program that fills placeholders in writes its tags. */
export interface TagStyle {
  /** Opening and closing delimiter of each pair that may be used; all of them at once. At least one pair. */
  readonly delimiters: readonly (readonly [string, string])[];
  /** How sections are written inside the delimiters; null: by the marks of the Mustache specification. */
  readonly keywords: Keywords | null;
}

/**
 * Words that stand first in a tag and make it part of a section. A word that is absent leaves the Mustache marks in
 * force in its place: `#` and `^` where `if` is absent, `/` where `end` is.
 */
export interface Keywords {
  readonly if?: string;
  readonly elseIf?: string;
  readonly else?: string;
  readonly end?: string;
}

export const MUSTACHE: TagStyle = { delimiters: [['{{', '}}']], keywords: null };

/** The marks that still tell a tag's kind where these keywords are in use. */
export function marksBeside(keywords: Keywords | null): string {
  if (!keywords) return '#^/!=>&';
  return `${keywords.if === undefined ? '#^' : ''}${keywords.end === undefined ? '/' : ''}`;
}

/** One keyword, as the words it consists of. */
export interface Keyword {
  readonly is: NonNullable<Tag['keyword']>;
  readonly words: readonly string[];
}

/** The keywords with the longest first, so that `or when` is found before `or`. */
export function keywordList(keywords: Keywords | null): readonly Keyword[] {
  const list: Keyword[] = [];
  for (const is of ['if', 'elseIf', 'else', 'end'] as const) {
    const words = keywords?.[is]?.split(/\s+/).filter((word) => word !== '') ?? [];
    if (words.length > 0) list.push({ is, words });
  }
  return list.sort((a, b) => b.words.join(' ').length - a.words.join(' ').length);
}

/** The tag as its keyword makes it; the tag itself where it begins with none. */
export function asKeyword(text: string, tag: Tag, keywords: readonly Keyword[]): Tag {
  for (const keyword of keywords) {
    const end = keywordEnd(text, tag, keyword);
    if (end < 0) continue;
    let from = end;
    while (from < tag.inner.end && isSpace(text.charCodeAt(from))) from++;
    const kind = keyword.is === 'end' ? 'close' : 'section';
    return { ...tag, kind, inner: span(from, tag.inner.end), keyword: keyword.is };
  }
  return tag;
}

/** Where the keyword ends in the tag; -1 where the tag does not begin with it. */
function keywordEnd(text: string, { inner }: Tag, { is, words }: Keyword): number {
  let at = inner.start;
  for (const [i, word] of words.entries()) {
    const before = at;
    while (i > 0 && at < inner.end && isSpace(text.charCodeAt(at))) at++;
    if (i > 0 && at === before) return -1;
    if (!text.startsWith(word, at)) return -1;
    at += word.length;
  }
  if (at > inner.end) return -1;
  if (at === inner.end) return at;
  // `else` and `end` stand alone; with more behind them it is an expression that happens to begin alike.
  if (is === 'else' || is === 'end') return -1;
  const last = words.at(-1) ?? '';
  return isNameLike(last.slice(-1)) && isNameLike(text.charAt(at)) ? -1 : at;
}

const isSpace = (c: number): boolean => c === 32 || (c >= 9 && c <= 13) || c === 0xa0;
const isNameLike = (char: string): boolean => /[\p{L}\p{N}_$.]/u.test(char);

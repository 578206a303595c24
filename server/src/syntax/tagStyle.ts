import { span } from '../text/span.ts';
import type { Tag } from './nodes.ts';

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

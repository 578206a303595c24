import { span } from '../text/span.ts';
import type { Tag } from './nodes.ts';
import type { Search } from './openers.ts';
import { isSpace } from './quotes.ts';

/** What stands between a tag's ends without the signs that take white space away, and on which sides there is one. */
export interface Trims {
  readonly from: number;
  readonly to: number;
  readonly before: boolean;
  readonly behind: boolean;
}

/** Where the content begins behind a sign at the opening end; null where there is none. */
export function openTrim({ text, reading }: Search, body: number): number | null {
  for (const sign of reading.language.trims) {
    const plain = sign.trimEnd();
    const end = body + plain.length;
    if (text.startsWith(plain, body) && (plain === sign || isSpace(text.charCodeAt(end)))) return end;
  }
  return null;
}

/** The signs at both ends of a content that begins at `body` and is closed at `at`. */
export function trimsOf(s: Search, body: number, at: number): Trims {
  const { text, reading } = s;
  const opened = openTrim(s, body);
  const from = opened !== null && opened <= at ? opened : body;
  for (const sign of reading.language.trims) {
    const plain = sign.trimEnd();
    const to = at - plain.length;
    if (to >= from && text.startsWith(plain, to) && (plain === sign || isSpace(text.charCodeAt(to - 1))))
      return { from, to, before: from > body, behind: true };
  }
  return { from, to: at, before: from > body, behind: false };
}

/** The tag with the white space beside it that its signs take away, back to the tag before it at most. */
export function withTrims(s: Search, tag: Tag, { before, behind }: Pick<Trims, 'before' | 'behind'>): Tag {
  if (!before && !behind) return tag;
  const { text, until, work } = s;
  let { start, end } = tag.span;
  while (before && start > until && isSpace(text.charCodeAt(start - 1))) start--;
  while (behind && end < text.length && isSpace(text.charCodeAt(end))) end++;
  work.steps += end - start;
  return { ...tag, takes: span(start, end) };
}

import type { Opener } from './openers.ts';
import { isEol, isWordChar, type ParserWork, Quotes } from './quotes.ts';
import type { TagPair } from './tagStyle.ts';

/** Where a tag's content ends, and by which pair's close; null: by none. */
export interface TagEnd {
  readonly at: number;
  readonly pair: TagPair | null;
}

/**
 * Finds the end of a tag whose content begins at `inside`: the first close outside of quotes and of the brackets that
 * its expression opens. Without one it ends with its row, or where the next such tag is opened. Each code unit between
 * two openers is looked at once.
 */
export function endOfTag(
  text: string,
  opener: Opener,
  inside: number,
  quotes: readonly string[],
  work: ParserWork,
): TagEnd {
  const texts = new Quotes(text, inside, text.length, quotes);
  const bracket = bracketOf(opener);
  let depth = 0;
  /** End of the tag's first row, and the next opener behind it: nothing on later rows can put that into quotes. */
  let row = -1;
  let limit = text.length;
  let at = inside;
  let found: TagPair | null = null;
  for (; at < limit; at++) {
    if (depth === 0) {
      found = closeAt(text, opener, at);
      if (found) break;
    }
    const c = text.charCodeAt(at);
    if (isEol(c) && row < 0) {
      row = at;
      if (depth > 0) break;
      const next = text.indexOf(opener.text, at);
      if (next >= 0) limit = next;
      work.steps += limit - at;
    }
    const quoted = texts.endOf(at);
    if (quoted > 0) {
      at = quoted - 1;
      continue;
    }
    if (bracket && c === bracket.close && depth > 0) depth--;
    else if (bracket && c === bracket.open && (bracket.anywhere || goesOn(text, inside, at))) depth++;
    else if (text.startsWith(opener.text, at)) break;
  }
  work.steps += Math.min(at, text.length) - inside;
  if (found) return { at, pair: found };
  return { at: row >= 0 ? row : Math.min(at, text.length), pair: null };
}

function closeAt(text: string, { pairs }: Opener, at: number): TagPair | null {
  for (const pair of pairs) if (text.startsWith(pair.close, at)) return pair;
  return null;
}

interface Bracket {
  readonly open: number;
  readonly close: number;
  /** Whether each one counts; else only one directly behind a name, which is an index. */
  readonly anywhere: boolean;
}

/** The bracket that expressions use too and that a close of this opener begins with. */
function bracketOf({ text, pairs }: Opener): Bracket | null {
  if (pairs.some(({ close }) => close.startsWith(')'))) return { open: 40, close: 41, anywhere: text !== '(' };
  if (pairs.some(({ close }) => close.startsWith(']'))) return { open: 91, close: 93, anywhere: !text.includes('[') };
  return null;
}

function goesOn(text: string, inside: number, at: number): boolean {
  const before = at > inside ? text.charAt(at - 1) : '';
  return before === ']' || before === ')' || isWordChar(before);
}

import { isDigit } from './chars.ts';
import { extentOf } from './nodes.ts';
import { MUSTACHE, type TagLanguage } from './tagStyle.ts';
import { findTags } from './tags.ts';

// How much of a text is read in one piece. What a check keeps goes by tokens and tags, not by megabytes: a megabyte of
// comment leaves next to nothing behind, one of tags hundreds. Measured on Node 20 over 10 MB each of 24 kinds of text
// (tagged lines, nested and unclosed sections, lists in lists, settings, blank lines, unknown commands ...), with the
// search for jobs and all garbage, 300,000 tokens of which a tag counts as three grow the process by 10 to 270 MB: most
// where each line heats, and where a list repeats commands that nobody knows. That is 18,000 lines with two tags each:
// far more than any sequence has that a person writes, or a script for a person.

/** How much of a text is read. */
export interface Budget {
  /** In tokens; a word such as `X10` is two. */
  readonly most: number;
  /** What one token counts. */
  readonly token: number;
  /** What one tag counts. */
  readonly tag: number;
}

export const SEQUENCE: Budget = { most: 300_000, token: 1, tag: 3 };

/**
 * A finished program has no tags, and what it may hold is bounded otherwise: by `bookend.largestFile` in the editor, and
 * on the command line by being streamed. So only tags count, each as much as a line with one.
 */
export const PROGRAM: Budget = { most: 300_000, token: 0, tag: 12 };

/**
 * Where reading stops so that no more is read than a budget allows: the beginning of a line, or the text's end. No more
 * tokens stand before it than the budget has. Goes through the text once, and keeps only tags.
 */
export function readableUntil(text: string, { most, token, tag }: Budget, language: TagLanguage = MUSTACHE): number {
  // No token is shorter than a character, and no tag shorter than two.
  if (text.length * Math.max(token, tag / 2) <= most) return text.length;
  const tags = findTags(text, { text, found: [] }, { steps: 0 }, language, Math.floor(most / tag) + 1);
  if (text.length * token + tags.length * tag <= most) return text.length;
  const count = { spent: 0, line: 0 };
  let at = 0;
  for (const one of tags) {
    const span = extentOf(one);
    if (!spend(text, at, span.start, count, { most, token, tag })) return count.line;
    count.spent += tag;
    at = span.end;
  }
  return count.spent <= most && spend(text, at, text.length, count, { most, token, tag }) ? text.length : count.line;
}

/** Counts the tokens of a stretch without tags, or rather more; false as soon as the budget is spent. */
function spend(
  text: string,
  from: number,
  to: number,
  count: { spent: number; line: number },
  { most, token }: Budget,
): boolean {
  let i = from;
  while (i < to) {
    const c = text.charCodeAt(i);
    i++;
    if (c === 59) while (i < to && !isEol(text.charCodeAt(i))) i++;
    else if (isNumeral(c)) while (i < to && isNumeral(text.charCodeAt(i))) i++;
    else if (c === 32) while (i < to && text.charCodeAt(i) === 32) i++;
    count.spent += token;
    if (count.spent > most) return false;
    // CRLF counts as two ends of line, of which the second begins the line.
    if (isEol(c) && !(c === 13 && text.charCodeAt(i) === 10)) count.line = i;
  }
  return true;
}

const isEol = (c: number): boolean => c === 10 || c === 13;
const isNumeral = (c: number): boolean => isDigit(c) || c === 46;

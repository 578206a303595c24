import { visible } from '../placeholders/environment.ts';
import type { Grammar } from '../placeholders/grammar.ts';
import { OURS } from '../placeholders/ours.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Span } from '../text/span.ts';

/** What is being written at a place of an expression, in whatever language. */
export interface TokenPlace {
  /** The name or number under the cursor. */
  readonly token: Span;
  /** What stands before it in the tag. */
  readonly before: string;
  /** Whether a value may stand there, or what is done with the value in front; null: neither. */
  readonly wants: 'value' | 'function' | null;
  /** The sign that a name lacks in front; '' where it has it, or the language has none. */
  readonly mark: string;
}

/** Names are looked back for so far. */
const LONGEST_NAME = 100;

export function placeIn(vocabulary: Vocabulary, text: string, inside: Span, offset: number): TokenPlace {
  const grammar = vocabulary.grammar ?? OURS;
  const isPart = (char: string): boolean =>
    /[\p{L}\p{N}_.]/u.test(char) || (char !== ' ' && char !== '' && letters.includes(char));
  const letters = vocabulary.grammar ? grammar.names.letters : '';
  let { start, end } = { start: offset, end: offset };
  while (start > inside.start && isPart(text.charAt(start - 1))) start--;
  while (end < inside.end && isPart(text.charAt(end))) end++;
  if (letters.includes(' ')) start = beginOfWords(vocabulary, text, inside.start, start, offset);
  const marks = vocabulary.grammar?.names.marks ?? [];
  const mark = marks.find((one) => text.endsWith(one, start) || text.slice(inside.start, start).endsWith(one));
  const before = text.slice(inside.start, start - (mark?.length ?? 0));
  return {
    token: { start, end },
    before,
    wants: wantedAfter(before, grammar),
    mark: mark === undefined ? (marks[0] ?? '') : '',
  };
}

/** Where a name with blanks in it begins that is written up to `offset`: it may go back over several words. */
function beginOfWords(vocabulary: Vocabulary, text: string, least: number, start: number, offset: number): number {
  const names = visible(vocabulary).map(({ name }) => name.toLowerCase());
  let first = start;
  for (let at = start; at > Math.max(least, offset - LONGEST_NAME); at--) {
    if (!/\s/.test(text.charAt(at - 1)) || /\s/.test(text.charAt(at))) continue;
    let word = at - 1;
    while (word > least && !/\s/.test(text.charAt(word - 1))) word--;
    const written = text.slice(word, offset).toLowerCase();
    if (names.some((name) => name.startsWith(written))) first = word;
  }
  return first;
}

/** What an expression that begins like this goes on with. */
function wantedAfter(before: string, grammar: Grammar): TokenPlace['wants'] {
  const plain = withoutTexts(before, grammar.quotes);
  if (plain === null) return null;
  const trimmed = plain.trimEnd();
  const endsWith = (word: string): boolean =>
    trimmed.endsWith(word) &&
    !(/^[\p{L}\p{N}_]/u.test(word) && /[\p{L}\p{N}_.]$/u.test(trimmed.slice(0, -word.length)));
  const signs = grammar.calls.flatMap((form) => (form.is === 'filter' ? [form.sign] : []));
  const operators = grammar.operators.map(({ written }) => written);
  // The longest sign counts: `|` may call, and `||` is an operator.
  const longest = [...signs, ...operators].filter(endsWith).sort((a, b) => b.length - a.length)[0];
  if (longest !== undefined) return signs.includes(longest) ? 'function' : 'value';
  const parts = grammar.choices.flatMap((form) => form.split(/YES|CONDITION|NO/).map((part) => part.trim()));
  if (parts.some((part) => part !== '' && endsWith(part))) return 'value';
  const inFront = grammar.calls.some(({ is }) => is === 'words');
  return /[\p{L}\p{N}_.)\]}]$/u.test(trimmed) && !(inFront && plain !== trimmed) ? null : 'value';
}

/** A text in which each text in quotes is a figure; null where one is still open. */
function withoutTexts(text: string, quotes: readonly string[]): string | null {
  let plain = '';
  for (let at = 0; at < text.length; ) {
    const quote = quotes.find((one) => one !== '' && text.startsWith(one, at));
    const end = quote === undefined ? -1 : text.indexOf(quote, at + quote.length);
    if (quote !== undefined && end < 0) return null;
    plain += quote === undefined ? text.charAt(at) : '0';
    at = quote === undefined ? at + 1 : end + quote.length;
  }
  return plain;
}

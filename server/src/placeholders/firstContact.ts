import { foreignStyle, masked } from '../syntax/foreignMask.ts';
import { type ForeignTags, findingForeign } from '../syntax/foreignTags.ts';
import type { Tree } from '../syntax/nodes.ts';
import type { TagLanguage } from '../syntax/tagStyle.ts';
import { nearest } from '../text/nearest.ts';
import { once } from '../text/once.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import { tagStyleOf, type Vocabulary } from './vocabulary.ts';

/** A text in a placeholder language that its vocabulary does not describe, as far as it can be read all the same. */
export interface FirstContact {
  readonly foreign: ForeignTags;
  /** The text with each foreign tag as one that the parser knows, at the same place and of the same length. */
  readonly text: string;
  readonly style: TagLanguage;
}

/**
 * What a text shows of a language that is not the vocabulary's; null where its tags are the vocabulary's own, or it has
 * none. Foreign are other delimiters, and the vocabulary's own where no name in any of two tags or more is known there,
 * or nearly.
 */
export const firstContact = (text: string, vocabulary: Vocabulary): FirstContact | null =>
  finish(makingContact(text, vocabulary));

/** The same in pieces. */
export function* makingContact(text: string, vocabulary: Vocabulary): Pieces<FirstContact | null> {
  if (vocabulary.filled) return null;
  const style = tagStyleOf(vocabulary);
  const lines = style.lineMarks.map((open) => ({ open, close: '' }));
  const pairs = [...style.pairs, ...lines];
  const foreign = yield* findingForeign(text, { pairs, meant: !isStrange(text, vocabulary) });
  const read = foreign && masked(text, foreign);
  return foreign && read !== null ? { foreign, text: read, style: foreignStyle(style) } : null;
}

/** Tags that are looked at to see whether a name is known. */
const MOST_TAGS = 200;
/** Names that are compared with those that are known. */
const MOST_NAMES = 40;

/** The names by which a tag is seen to be of this vocabulary. Hidden ones too: what cannot be written here is still no other language. */
const namesOf = once(({ names }: Vocabulary) => {
  const known = [...names.keys()];
  return {
    known,
    exact: new Set(known),
    // `chamber` is meant for `heat.chamber`.
    ends: new Set(known.flatMap((name) => name.split('.').at(-1) ?? [])),
    odd: known.filter((name) => !/^[\p{L}_$][\p{L}\p{N}_$.]*$/u.test(name)),
  };
});

/** Whether tags between the vocabulary's own delimiters hold none of its names, nor any that is nearly one. */
function isStrange(text: string, vocabulary: Vocabulary): boolean {
  const { pairs } = tagStyleOf(vocabulary);
  const { known, exact, ends, odd } = namesOf(vocabulary);
  const statements = tagStyleOf(vocabulary).statements.flatMap(({ form }) => /^[^\sA-Z]+/.exec(form)?.[0] ?? []);
  const words = new Set<string>();
  let tags = 0;
  for (const { open, close } of pairs) {
    for (let at = text.indexOf(open); at >= 0 && tags < MOST_TAGS; at = text.indexOf(open, at + open.length)) {
      const end = text.indexOf(close, at + open.length);
      if (end < 0) break;
      const inner = text.slice(at + open.length, Math.min(end, at + 400));
      // What is still being written holds the next tag, or goes over a line end.
      if (/^[!=]|[\r\n]/.test(inner) || inner.includes(open)) continue;
      // A statement of the language's own.
      const first = /^\S*/.exec(inner.trim())?.[0] ?? '';
      if (statements.includes(first)) return false;
      tags++;
      for (const [word] of inner
        .replace(/"[^"]*"|'[^']*'/g, '')
        .matchAll(/[\p{L}_$][\p{L}\p{N}_$]*(\.[\p{L}\p{N}_$]+)*/gu)) {
        if (exact.has(word) || ends.has(word)) return false;
        words.add(word);
      }
      // Names with spaces, hyphens or figures in front are no words.
      if (odd.some((name) => inner.includes(name))) return false;
    }
  }
  if (tags < 2 || words.size < 2) return false;
  return [...words].slice(0, MOST_NAMES).every((word) => nearest(word, known).length === 0);
}

/** The finding's places and more: each foreign tag with what touches it, between spaces. */
export function beside(
  { foreign }: FirstContact,
  { text }: Pick<Tree, 'text'>,
): readonly { readonly start: number; readonly end: number }[] {
  const isBreak = (at: number): boolean => at < 0 || at >= text.length || /\s/.test(text.charAt(at));
  return foreign.tags.map(({ span }) => {
    let { start, end } = span;
    while (!isBreak(start - 1) && span.start - start < MOST_BESIDE) start--;
    while (!isBreak(end) && end - span.end < MOST_BESIDE) end++;
    return { start, end };
  });
}

const MOST_BESIDE = 200;

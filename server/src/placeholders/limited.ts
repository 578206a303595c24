import type { Tag, Tree } from '../syntax/nodes.ts';
import { parse } from '../syntax/parse.ts';
import { valueTag } from '../syntax/tagStyle.ts';
import { slice } from '../text/span.ts';
import type { Expr } from './expr.ts';
import { languageFor } from './languageFor.ts';
import { OURS } from './ours.ts';
import { Speller, type Spelt, tieOf } from './spell.ts';
import { readExpressions } from './tags.ts';
import { ATOM } from './ties.ts';
import { tagStyleOf, type Vocabulary } from './vocabulary.ts';

// What fixes write into tags: in the language of the text, or nothing at all.

/** What writes expressions in a vocabulary's language. */
export const spellerOf = ({ grammar }: Vocabulary): Speller => new Speller(grammar ?? OURS);

/** An end that a value is kept at: a figure, or a name with something added. */
export type Limit = number | { readonly name: string; readonly plus?: number };

/**
 * What a value's tag holds so that it stays within limits; null where its language has no function for that, or would
 * read it in another way.
 */
export function limited(
  vocabulary: Vocabulary,
  { text }: Pick<Tree, 'text'>,
  tag: Tag,
  expr: Expr,
  { least, most }: { readonly least?: Limit | null; readonly most?: Limit | null },
): string | null {
  const speller = spellerOf(vocabulary);
  const inner: Spelt = { text: slice(text, tag.inner), tie: tieOf(expr) };
  const upper = most == null ? inner : speller.call('min', [inner, endIn(speller, most)]);
  const whole = least == null ? upper : speller.call('max', [upper, endIn(speller, least)]);
  if (!whole) return null;
  const ends = [text.slice(tag.span.start, tag.inner.start), text.slice(tag.inner.end, tag.span.end)];
  return isValueTag(vocabulary, ends.join(whole.text)) ? whole.text : null;
}

/** How this language keeps a value at or above, or at or below, a figure, for messages: `max(…, 5)`; null: it has no function for that. */
export const shownLimit = (vocabulary: Vocabulary, by: 'min' | 'max', figure: number): string | null => {
  const speller = spellerOf(vocabulary);
  return speller.call(by, [ANYTHING, speller.number(figure)])?.text ?? null;
};
const ANYTHING: Spelt = Object.freeze({ text: '…', tie: ATOM });

function endIn(speller: Speller, end: Limit): Spelt | null {
  if (typeof end === 'number') return speller.number(end);
  const { name, plus = 0 } = end;
  if (plus === 0) return speller.name(name);
  return speller.binary(plus < 0 ? '-' : '+', speller.name(name), speller.number(Math.abs(plus)));
}

/** A tag of a vocabulary's language with this in it; null where it would be read as something else. */
export function tagWith(vocabulary: Vocabulary, content: Spelt | null): string | null {
  const tag = content && valueTag(tagStyleOf(vocabulary), content.text);
  return tag !== null && isValueTag(vocabulary, tag) ? tag : null;
}

/** Whether a text is one tag of a vocabulary's language with an expression that is read whole. */
export function isValueTag(vocabulary: Vocabulary, written: string): boolean {
  const tree = parse(written, { tags: tagStyleOf(vocabulary) });
  const [tag, more] = tree.tags;
  if (!tag || more || tag.kind !== 'value' || !tag.closed) return false;
  if (tag.span.start !== 0 || tag.span.end !== written.length) return false;
  const read = readExpressions(tree, languageFor(vocabulary)).get(tag);
  return !!read?.expr && !read.unfollowed;
}

import { isBlank } from '../syntax/chars.ts';
import { extentOf, type Tag } from '../syntax/nodes.ts';
import { type Span, span } from '../text/span.ts';

/**
 * What of the text a tag takes away with it. A tag that only steers and stands alone on its row, blanks aside, takes
 * the whole row, end of row included (Mustache specification, "Standalone"); any other tag just itself, and the white
 * space that signs at its ends take.
 * LF, CRLF and a lone CR end a row. `at`: the tag's index among `tags`, which stand in order.
 */
export function takenBy(text: string, tags: readonly Tag[], at: number): Span {
  const tag = tags[at] as Tag;
  if (GIVE.has(tag.kind) || !tag.closed) return extentOf(tag);
  const from = tags[at - 1]?.span.end ?? 0;
  const to = tags[at + 1]?.span.start ?? text.length;
  let { start, end } = extentOf(tag);
  while (start > from && isBlank(text.charCodeAt(start - 1))) start--;
  while (end < to && isBlank(text.charCodeAt(end))) end++;
  const begins = start === 0 || (start > from && isEnd(text.charCodeAt(start - 1)));
  if (!begins) return extentOf(tag);
  if (end === text.length) return span(start, end);
  if (end >= to || !isEnd(text.charCodeAt(end))) return extentOf(tag);
  const pair = text.charCodeAt(end) === 13 && text.charCodeAt(end + 1) === 10;
  return span(start, end + (pair ? 2 : 1));
}

/** What gives text where it stands, or parts text that is copied as it is. */
const GIVE: ReadonlySet<Tag['kind']> = new Set(['value', 'escape', 'foreign', 'raw']);
const isEnd = (c: number): boolean => c === 10 || c === 13;

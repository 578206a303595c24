import { once } from '../text/once.ts';
import { type Span, span, touches } from '../text/span.ts';
import type { Command, Comment, Line, Section, Tag, TokenKind, Tree, Word } from './nodes.ts';

/** What stands at an offset; null where nothing of that kind does. */
export interface Place {
  readonly line: Line;
  readonly command: Command | null;
  readonly word: Word | null;
  readonly tag: Tag | null;
  readonly comment: Comment | null;
  readonly section: Section | null;
}

/** Everything that stands at an offset. A cursor right behind a node still belongs to it, unless the next one begins there. */
export function placeAt(tree: Tree, offset: number): Place {
  const line = lineAt(tree, offset);
  const command = commandAt(line, offset);
  return {
    line,
    command,
    word: wordAt(line, offset),
    tag: tagAt(tree, offset),
    comment: commentAt(line, offset),
    section: sectionAt(tree, offset),
  };
}

/** The line that holds an offset; its end of line belongs to it. Offsets outside the text give the first or last line. */
export function lineAt(tree: Tree, offset: number): Line {
  return tree.lines[Math.max(0, lastFrom(tree.lines, offset))] as Line;
}

/** The command whose span holds or touches the offset, its words and the blanks between them included. */
export const commandAt = (line: Line, offset: number): Command | null => touching(line.commands, offset);

/** The command that a word typed at the offset would belong to: the last one that begins before it on the line. */
export function commandBefore(line: Line, offset: number): Command | null {
  return line.commands[lastFrom(line.commands, offset)] ?? null;
}

/** The word at the offset, the line number included. */
export function wordAt(line: Line, offset: number): Word | null {
  const command = commandBefore(line, offset);
  const word = command && touching(command.words, offset);
  if (word) return word;
  return line.number && touches(line.number.span, offset) ? line.number : null;
}

/** The tag at the offset. Behind its end it no longer counts: typing there is outside of it, unless it is not closed. */
export function tagAt(tree: Tree, offset: number): Tag | null {
  const tag = touching(tree.tags, offset);
  return tag && (offset < tag.span.end || !tag.closed) ? tag : null;
}

/** The comment at the offset. */
export const commentAt = (line: Line, offset: number): Comment | null => touching(line.comments, offset);

/** The innermost section whose content or tags hold the offset. */
export function sectionAt(tree: Tree, offset: number): Section | null {
  const at = lastFrom(tree.tags, offset);
  const tag = tree.tags[at];
  if (!tag) return null;
  // An opening tag's section begins with it, and a closing one's ends behind it.
  const own = offset < tag.span.end ? (openedBy(tree, tag) ?? closedBy(tree, tag)) : undefined;
  const section = own ?? sectionsOf(tree).behind[at];
  // What is never closed, and all around it, ends with the text.
  return section && offset < section.span.end ? section : null;
}

/** The token that holds the offset (the last one at the text's end); null in an empty text. */
export function tokenAt(tree: Tree, offset: number): { readonly kind: TokenKind; readonly span: Span } | null {
  const { count, ends, kinds } = tree.tokens;
  if (count === 0) return null;
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((ends[middle] as number) > offset) high = middle;
    else low = middle + 1;
  }
  const start = low === 0 ? 0 : (ends[low - 1] as number);
  return { kind: kinds[low] as TokenKind, span: span(start, ends[low] as number) };
}

function touching<T extends { readonly span: Span }>(list: readonly T[], offset: number): T | null {
  const item = list[lastFrom(list, offset)];
  return item && touches(item.span, offset) ? item : null;
}

/** The last item that begins at or before the offset; undefined where none does. Items stand in order. */
export const lastBefore = <T extends { readonly span: Span }>(items: readonly T[], offset: number): T | undefined =>
  items[lastFrom(items, offset)];

/** The items that touch a stretch of text, ends included. Items stand in order and do not overlap. */
export function between<T extends { readonly span: Span }>(items: readonly T[], { start, end }: Span): T[] {
  const found: T[] = [];
  // The one before may reach up to here, and one before that may be empty.
  let i = lastFrom(items, start);
  while (i > 0 && (items[i - 1] as T).span.end >= start) i--;
  for (i = Math.max(0, i); i < items.length && (items[i] as T).span.start <= end; i++)
    if ((items[i] as T).span.end >= start) found.push(items[i] as T);
  return found;
}

/** Whether what stands in `outer` is there in every job in which what stands in `inner` is. null: the top level. */
export function encloses(outer: Section | null, inner: Section | null): boolean {
  if (outer === null || outer === inner) return true;
  if (inner === null) return false;
  const { start } = inner.span;
  return start >= outer.open.span.end && start < (outer.close?.span.start ?? outer.span.end);
}

/** The section that a tag opens; undefined where it opens none. */
export const openedBy = (tree: Tree, tag: Tag): Section | undefined => sectionsOf(tree).opened.get(tag);

/** The section that a tag closes, or whose branch it ends; undefined where it closes none. */
export const closedBy = (tree: Tree, tag: Tag): Section | undefined => sectionsOf(tree).closed.get(tag);

interface Sections {
  readonly opened: ReadonlyMap<Tag, Section>;
  readonly closed: ReadonlyMap<Tag, Section>;
  /** For each tag the innermost section that holds what follows it. */
  readonly behind: readonly (Section | null)[];
}

const sectionsOf = once(({ sections, tags }: Tree): Sections => {
  const opened = new Map<Tag, Section>();
  const closed = new Map<Tag, Section>();
  for (const section of sections) {
    opened.set(section.open, section);
    // What closes a branch of a switch closes that as well: the outer one stands first.
    if (section.close && !closed.has(section.close)) closed.set(section.close, section);
  }
  let now: Section | null = null;
  const behind = tags.map((tag) => {
    const ended = closed.get(tag);
    now = opened.get(tag) ?? (ended ? ended.parent : now);
    return now;
  });
  return { opened, closed, behind };
});

/** Index of the last item that begins at or before the offset; -1 where none does. Items stand in order. */
function lastFrom(list: readonly { readonly span: Span }[], offset: number): number {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle] as { span: Span }).span.start <= offset) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

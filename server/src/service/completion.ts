import { placeAt } from '../syntax/at.ts';
import type { Span } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { completeCommands, completeWords } from './completeCommand.ts';
import { completeInTag } from './completeInTag.ts';
import type { CompletionItem, Completions } from './completionItem.ts';

/**
 * What may be written at an offset: commands where a line begins, words behind a command, names and functions in a tag.
 * Nothing in comments, in free text and in quoted text, tags in them aside.
 */
export function complete(a: Analysis, offset: number): Completions {
  const { text } = a.tree;
  if (!(offset >= 0 && offset <= text.length)) return { items: [] };
  const items = itemsAt(a, offset);
  return { items: items.filter((item) => isEditAt(text, item.span, offset)) };
}

function itemsAt(a: Analysis, offset: number): CompletionItem[] {
  const place = placeAt(a.tree, offset);
  if (place.tag && offset > place.tag.span.start) return completeInTag(a, place, place.tag, offset);
  const { line, comment } = place;
  if (offset > line.span.end) return [];
  const closed = comment?.style === 'paren' && a.tree.text.charAt(comment.span.end - 1) === ')';
  if (comment && offset > comment.span.start && !(closed && offset === comment.span.end)) return [];
  if (line.checksum && offset >= line.checksum.span.start) return [];
  return completeCommands(a, place, offset) ?? completeWords(a, place, offset);
}

/** The protocol wants an edit that holds the cursor and stays on its row. */
function isEditAt(text: string, { start, end }: Span, offset: number): boolean {
  if (start > offset || end < offset) return false;
  for (let i = start; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c === 10 || c === 13) return false;
  }
  return true;
}

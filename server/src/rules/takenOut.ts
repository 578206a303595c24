import { between, closedBy, lineAt, openedBy } from '../syntax/at.ts';
import type { Word } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import { withoutLine } from './edits.ts';
import type { Edit, View } from './rule.ts';

/** The line of an offset taken out; null where another command or a part of a section would go with it. */
export function takenOut(view: View, offset: number): Edit | null {
  const { span, commands } = lineAt(view.tree, offset);
  return commands.length === 1 && isWhole(view, span) ? withoutLine(view, offset) : null;
}

/** A word taken out, with the blanks in front of it. */
export function withoutWord({ tree: { text } }: View, { span }: Word): Edit {
  let { start } = span;
  while (start > 0 && (text[start - 1] === ' ' || text[start - 1] === '\t')) start--;
  return { span: { start, end: span.end }, text: '' };
}

/** Whether every section that has a tag in a stretch of text lies in it whole. */
export function isWhole({ tree }: View, { start, end }: Span): boolean {
  const inside = (tag: { readonly span: Span } | null): boolean =>
    tag !== null && tag.span.start < end && tag.span.end > start;
  const tags = between(tree.tags, { start, end });
  return tags.every((tag) => {
    const [opens, closes] = [openedBy(tree, tag), closedBy(tree, tag)];
    if (opens && inside(tag) && !(inside(opens.close) && inside(opens.chain))) return false;
    return !closes || !inside(tag) || inside(closes.open);
  });
}

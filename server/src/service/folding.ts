import type { Line } from '../syntax/nodes.ts';
import { lineIndex } from '../text/lines.ts';
import type { Analysis } from './analyze.ts';
import { type Outline, symbols } from './symbols.ts';

/** Rows that can be folded away, counted from 0, both included; the first one stays visible. */
export interface Folding {
  readonly first: number;
  readonly last: number;
  readonly kind: 'comment' | 'region';
}

/**
 * Sections (the row of the closing tag stays visible), comments over several rows, and the phases of the outline: what
 * stands under a heading comment, and moves in a row. In the order of the text; of any two one holds the other, or they
 * are apart, and no two begin on the same row.
 */
export function foldings(a: Analysis): Folding[] {
  const rows = lineIndex(a.tree.text);
  const rowOf = (offset: number): number => rows.position(offset).line;
  const found: Folding[] = [];
  const add = (first: number, last: number, kind: Folding['kind']): void => {
    if (last > first) found.push({ first, last, kind });
  };
  for (const { open, close } of a.tree.sections)
    if (close) add(rowOf(open.span.end), rowOf(close.span.start) - 1, 'region');
  for (const { span, kind } of a.tree.tags)
    add(rowOf(span.start), rowOf(span.end), kind === 'comment' ? 'comment' : 'region');
  let last: Line | null = null;
  let from = 0;
  for (const line of a.tree.lines) {
    const isComment = line.commands.length === 0 && line.comments.length > 0;
    if (isComment && !last) from = rowOf(line.span.start);
    if (last && !isComment) add(from, rowOf(last.span.end), 'comment');
    last = isComment ? line : null;
  }
  if (last) add(from, rowOf(last.span.end), 'comment');
  const isBlank = (row: number): boolean => a.tree.text.slice(rows.start(row), rows.end(row)).trim() === '';
  const addPhases = (entries: readonly Outline[], until: number): void => {
    entries.forEach((entry, i) => {
      const next = entries[i + 1];
      const first = rowOf(entry.span.start);
      if (entry.kind === 'command') {
        add(first, rowOf(entry.span.end), 'region');
        return;
      }
      let end = entry.kind === 'section' ? rowOf(entry.span.end) - 1 : next ? rowOf(next.span.start) - 1 : until;
      while (end > first && isBlank(end)) end--;
      if (entry.kind === 'comment') add(first, end, 'region');
      addPhases(entry.children, end);
    });
  };
  addPhases(symbols(a), rows.count - 1);
  return nested(found);
}

/** Sorted, without those that cross one that begins before, and the longest of those that begin on one row. */
function nested(found: Folding[]): Folding[] {
  found.sort((one, other) => one.first - other.first || other.last - one.last);
  const open: Folding[] = [];
  let before = -1;
  return found.filter((folding) => {
    while (open.length > 0 && (open[open.length - 1] as Folding).last < folding.first) open.pop();
    const around = open[open.length - 1];
    if (folding.first === before || (around && folding.last > around.last)) return false;
    open.push(folding);
    before = folding.first;
    return true;
  });
}

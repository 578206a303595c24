import type { Line, Tree } from '../syntax/nodes.ts';

/**
 * Where stray text begins on a line: what stands behind it was hardly meant as words (`G28 # all axes`), and one
 * finding of `stray-text` says enough. Infinity where there is none.
 */
export function strayStarts(tree: Tree): (line: Line) => number {
  const starts = new Map<Line, number>();
  let i = 0;
  for (const problem of tree.problems) {
    if (problem.kind !== 'stray-text') continue;
    while (i + 1 < tree.lines.length && (tree.lines[i + 1]?.span.start ?? 0) <= problem.span.start) i++;
    const line = tree.lines[i];
    if (line && !starts.has(line)) starts.set(line, problem.span.start);
  }
  return (line) => starts.get(line) ?? Number.POSITIVE_INFINITY;
}

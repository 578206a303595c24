import type { Section, Tag, Tree } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';

/** Whether no job gets what stands in both sections: branches of one chain, or the same condition once inverted. */
export function excludeEachOther(tree: Tree, a: Section | null, b: Section | null): boolean {
  for (let s = a, i = 0; s && i < DEEPEST; s = s.parent, i++)
    for (let t = b, j = 0; t && j < DEEPEST; t = t.parent, j++)
      if (s !== t && (s.chain === t.chain || areOpposite(tree, s.open, t.open))) return true;
  return false;
}

/** Sections in sections that are looked at; what stands deeper is not known to exclude anything. */
const DEEPEST = 8;

function areOpposite({ text }: Tree, a: Tag, b: Tag): boolean {
  if (a.keyword || b.keyword || (a.kind === 'inverted') === (b.kind === 'inverted')) return false;
  return slice(text, a.inner) === slice(text, b.inner);
}

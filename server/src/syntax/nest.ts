import type { DeepSection } from './building.ts';
import type { Block, Item, Line } from './nodes.ts';

/**
 * Puts lines into blocks. `holders[i]` is the innermost section whose content (between its tags) holds line i whole,
 * or null. The rows of the tags themselves therefore stay outside the block. No recursion, whatever the depth.
 */
export function nestLines(lines: readonly Line[], holders: readonly (DeepSection | null)[]): Item[] {
  const top: Item[] = [];
  const stack: { section: DeepSection; items: Item[] }[] = [];
  lines.forEach((line, i) => {
    const path: DeepSection[] = [];
    let holder = holders[i] ?? null;
    while (holder && holder.depth > (stack.at(-1)?.section.depth ?? 0)) {
      path.push(holder);
      holder = holder.parent as DeepSection | null;
    }
    while (stack.length > (holder?.depth ?? 0)) stack.pop();
    while (holder && stack.at(-1)?.section !== holder) {
      path.push(holder);
      stack.pop();
      holder = holder.parent as DeepSection | null;
    }
    for (let section = path.pop(); section; section = path.pop()) {
      const items: Item[] = [];
      const block: Block = { type: 'block', section, items };
      (stack.at(-1)?.items ?? top).push(block);
      stack.push({ section, items });
    }
    (stack.at(-1)?.items ?? top).push(line);
  });
  return top;
}

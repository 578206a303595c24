import type { Join } from '../syntax/namedForm.ts';
import type { Tree } from '../syntax/nodes.ts';
import type { Catalog } from './catalog.ts';

/** In the order in which they win where a text has as many of each. */
const JOINS: readonly Join[] = ['=', ':', ' ', ''];

/**
 * What stands between the key of a new word of a named command and its value: what the machine file states, else what
 * this text has most. null where neither says, since none is preferred.
 */
export function joinOf({ named }: Catalog, tree: Tree, key: string): Join | null {
  const { joins, letters } = named;
  // As in G-code, unless the machine file says that this is not read, or has another sign for all words.
  if (key.length === 1 && (letters === true || (letters === null && joins === null))) return '';
  return joins ?? usedJoin(tree);
}

/** What joins most of the words of named commands in a text, those of one letter aside; null where there are none. */
function usedJoin({ lines, text }: Tree): Join | null {
  const times = JOINS.map(() => 0);
  for (const { commands } of lines) {
    for (const { named, words } of commands) {
      if (!named) continue;
      for (const { keySpan, value } of words) {
        if (!value || keySpan.end - keySpan.start < 2) continue;
        const between = text.slice(keySpan.end, value.span.start);
        const at = JOINS.indexOf((between.trim() || between.slice(0, 1)) as Join);
        if (at >= 0) times[at] = (times[at] as number) + 1;
      }
    }
  }
  const most = Math.max(...times);
  return most === 0 ? null : (JOINS[times.indexOf(most)] as Join);
}

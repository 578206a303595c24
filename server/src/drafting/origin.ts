import type { DraftSource, Places, SourcePlace } from './evidence.ts';
import type { NameIndex } from './uses.ts';

/** The number of a list's first element, as far as the texts show it. */
export interface Origin {
  /** null: asked. */
  readonly first: 0 | 1 | null;
  /** What shows it. */
  readonly because: string;
  readonly at: SourcePlace | null;
}

/**
 * 0 where an index 0 is seen, or the number of a tool stands in one (tools are counted from 0); 1 where indexes begin at
 * 1 and a word beside such a one says that it is the first. Otherwise nobody can tell.
 * @param isTool Whether a name is the number of a tool.
 */
export function originOf(
  sources: readonly DraftSource[],
  indexes: readonly (readonly NameIndex[])[],
  isTool: (name: string) => boolean,
  places: Places,
): Origin {
  const all = indexes.flatMap((list, source) => list.map((one) => ({ ...one, place: places.at(source, one.at) })));
  const zero = all.find(({ number }) => number === 0);
  if (zero) return { first: 0, because: `${zero.list}[0] is used on ${places.said(zero.place)}`, at: zero.place };
  const tool = all.find(({ by }) => by !== null && isTool(by));
  if (tool)
    return {
      first: 0,
      because: `${tool.by}, the number of a tool, is an index on ${places.said(tool.place)}`,
      at: tool.place,
    };
  const lists = new Map(all.flatMap((one) => (one.number === 1 ? [[one.list, one] as const] : [])));
  const one = [...lists.values()].find(({ list }) => sources.some(({ text }) => saysFirst(text, list)));
  if (one)
    return {
      first: 1,
      because: `no index is 0, and a word beside ${one.list}[1] says that it is the first`,
      at: one.place,
    };
  return { first: null, because: '', at: all[0]?.place ?? null };
}

/** Whether `first` stands up to three words in front of `list[1]`, or behind it. */
function saysFirst(text: string, list: string): boolean {
  const named = `${list.replace(/[\\^$.*+?()[\]{}|/-]/g, '\\$&')}\\s*\\[\\s*1\\s*\\]`;
  const first = '(?:first|1st)';
  return new RegExp(
    `\\b${first}\\b(?:[^\\S\\r\\n]+\\p{L}+){0,3}[^\\S\\r\\n]*[:=,({\\[«]*[^\\S\\r\\n]*${named}|${named}\\W{1,4}(?:\\p{L}+[^\\S\\r\\n]+){0,2}${first}\\b`,
    'iu',
  ).test(text);
}

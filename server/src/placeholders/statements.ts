import type { Section, Tag } from '../syntax/nodes.ts';
import { type Span, slice } from '../text/span.ts';
import type { LoopWords } from './grammar.ts';

// What a tag states besides a value, as this room needs it: the syntax room says in which places of its form what stands.

/** The places of a statement's form that hold names. */
interface Placed {
  readonly slots?: { readonly [slot in 'ITEM' | 'INDEX' | 'NAME']?: Span };
}

/** What a name in a loop stands for; `index`: counted from where the language counts lists. */
export type LoopRole = 'index' | keyof LoopWords;

/** The names that a section over a list gives in it. */
export interface LoopNames {
  readonly roles: ReadonlyMap<string, LoopRole>;
  /** Whether the element's own names are found there without another in front, since its form names no item. */
  readonly opens: boolean;
}

const keywordOf = (tag: Tag): string | undefined => tag.keyword;
const slotsOf = (tag: Tag): NonNullable<Placed['slots']> => (tag as Tag & Placed).slots ?? {};
const textIn = (text: string, at: Span | undefined): string | null => (at ? slice(text, at).trim() || null : null);

/** The name that a tag sets; null where it sets none. */
export const setNameOf = (tag: Tag, text: string, isName: (name: string) => string): string | null => {
  const name = (tag.kind as string) === 'set' ? textIn(text, slotsOf(tag).NAME) : null;
  return name === null ? null : isName(name);
};

/**
 * What a section over a list names in it: what its own form says, and the words that the language has for any loop. null
 * where the tag opens none, or nothing is named.
 */
export function loopNamesOf(
  tag: Tag,
  text: string,
  bare: (name: string) => string,
  words: LoopWords,
): LoopNames | null {
  if (tag.kind !== 'section' || !goesThrough(tag)) return null;
  const roles = new Map<string, LoopRole>();
  for (const role of ROLES) for (const word of words[role]) roles.set(bare(word), role);
  const { ITEM, INDEX } = slotsOf(tag);
  const [item, index] = [textIn(text, ITEM), textIn(text, INDEX)];
  if (index !== null) roles.set(bare(index), 'index');
  if (item !== null) roles.set(bare(item), 'item');
  return roles.size > 0 ? { roles, opens: item === null } : null;
}
const ROLES = ['item', 'indexFrom0', 'indexFrom1', 'isFirst', 'isLast'] as const;

/** Whether a tag's branch is filled in without a condition of its own. */
export const isUnconditional = (tag: Tag): boolean => tag.keyword === 'else' || keywordOf(tag) === 'switch';

/** Whether a tag has an expression to be read. */
export const hasExpression = (tag: Tag): boolean =>
  tag.closed &&
  tag.keyword !== 'else' &&
  (tag.kind === 'value' || tag.kind === 'section' || tag.kind === 'inverted' || (tag.kind as string) === 'set');

export const isSwitch = (tag: Tag): boolean => keywordOf(tag) === 'switch';
export const isCase = (tag: Tag): boolean => keywordOf(tag) === 'case';

/** Whether a tag takes a value that is no condition: a name is set to it, it is gone through, or compared. */
export const takesValue = (tag: Tag): boolean =>
  tag.kind === 'set' || isSwitch(tag) || isCase(tag) || keywordOf(tag) === 'each';

/** Whether a section goes through a list: by the mark of Mustache, or by a statement. Any other statement only asks whether. */
export const goesThrough = (open: Tag): boolean => open.keyword === undefined || keywordOf(open) === 'each';

/** The `switch` whose value a branch is compared with; null where there is none. */
export const subjectOf = (section: Section): Tag | null =>
  (section as Section & { readonly subject?: Tag | null }).subject ?? null;

import { withKeys } from '../placeholders/elements.ts';
import { type Expr, namesIn } from '../placeholders/expression.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import type { Report, View } from '../rules/rule.ts';
import type { Item, Tag } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';

/** As much of a text as some reports hang on. */
export interface Needed {
  readonly items: readonly Item[];
  /** Where that part of the text ends, as an offset. */
  readonly end: number;
}

/** What must be run for these reports: nothing behind the last of their steps, where each says how far it goes. */
export function neededFor({ items, tree }: View, reports: readonly Report[]): Needed {
  const all = { items, end: tree.text.length };
  let last = 0;
  for (const { step, until = step?.command.line.index } of reports) {
    if (until === undefined) return all;
    last = Math.max(last, until);
  }
  const at = items.findIndex((item) => item.type === 'line' && item.index > last);
  const next = items[at];
  return next?.type === 'line' ? { items: items.slice(0, at), end: next.span.start } : all;
}

/** How many steps of the run over all jobs lie in that part; each runs about as often in any other run. */
export function stepsIn({ trace }: View, { end }: Needed): number {
  const last = trace.steps.findIndex(({ command }) => command.line.span.start >= end);
  return last < 0 ? trace.steps.length : last;
}

/** The names of a job that may make a difference to what is needed. */
export interface Counting {
  /** For each of these names as tags call it: the item of the text in which it first does. */
  readonly first: ReadonlyMap<string, number>;
  /** Whether the value of this name does, as tags call it. */
  has(name: string): boolean;
  /** Whether another value of this name, as the vocabulary calls it, may change that of one that does. */
  reaches(name: string): boolean;
}

/**
 * The names in the tags of the part that is needed, those that `always` count, lists, and what elements of lists have.
 * Two jobs that agree in these are one job to that part.
 */
export function countingIn(view: View, needed: Needed, always: Iterable<string>): Counting {
  const first = new Map([...always].map((name) => [name, 0]));
  for (const [item, name] of namesByItem(view, needed)) if (!first.has(name)) first.set(name, item);
  const { vocabulary } = view;
  const own = (name: string): string => vocabulary.standIns?.get(name) ?? name;
  const groups = groupsOf(vocabulary);
  const groupOf = (name: string): string => groups.get(name) ?? name;
  const isList = (name: string): boolean => name.includes('[') || vocabulary.names.get(name)?.kind === 'list';
  const reached = new Set([...first.keys()].map((name) => groupOf(own(name))));
  return {
    first,
    has: (name) => first.has(name) || isList(own(name)),
    reaches: (name) => isList(name) || reached.has(groupOf(name)),
  };
}

/** The names in the tags of that part, each with the index of the item that the tag stands in, in the order of the text. */
function* namesByItem(view: View, { items, end }: Needed): Generator<readonly [number, string]> {
  let item = 0;
  for (const [tag, { expr }] of view.expressions) {
    if (!expr || tag.span.start >= end) continue;
    while (item + 1 < items.length && startOf(items[item + 1] as Item) <= tag.span.start) item++;
    for (const name of keyedNames(view, tag, expr)) yield [item, name];
  }
}

const startOf = (item: Item): number => (item.type === 'line' ? item.span.start : item.section.span.start);

/** The names between which an order is declared, or one over others, are of one group: its first name, by name. */
const groupsOf = once(({ names }: Vocabulary): ReadonlyMap<string, string> => {
  const heads = new Map<string, string>();
  const headOf = (name: string): string => {
    let head = name;
    for (let next = heads.get(head); next !== undefined; next = heads.get(head)) head = next;
    return head;
  };
  for (const { name, atLeast, atMost } of names.values())
    for (const other of [atLeast, atMost]) {
      const [a, b] = [headOf(name), other === undefined ? headOf(name) : headOf(other)];
      if (a !== b) heads.set(b, a);
    }
  return new Map([...heads.keys()].map((name) => [name, headOf(name)]));
});

const NAMES_OF_TAGS = once((_: View['expressions']) => new Map<Tag, readonly string[]>());

/** The names in a tag, as a job has them: inside a list's section the elements' own. */
export function keyedNames(view: View, tag: Tag, expr: Expr): readonly string[] {
  const known = NAMES_OF_TAGS(view.expressions);
  const before = known.get(tag);
  if (before) return before;
  const names = [...new Set(namesIn(keyed(view, tag, expr)).map(({ name }) => name))];
  known.set(tag, names);
  return names;
}

/** The expression with the names that a job has for them: inside a list's section the elements' own. */
export function keyed({ scopes }: View, tag: Tag, expr: Expr): Expr {
  return scopes.lists(tag).length > 0 ? withKeys(expr, (name) => scopes.find(tag, name)?.key ?? name) : expr;
}

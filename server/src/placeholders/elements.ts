import type { Section, Tag, Tree } from '../syntax/nodes.ts';
import { childrenOf, type Expr, withChildren } from './expr.ts';
import { goesThrough, type LoopNames } from './statements.ts';
import type { Expressions } from './tags.ts';
import { checkTypes } from './types.ts';
import type { Name, Vocabulary } from './vocabulary.ts';

/** Lists in lists in lists: nobody's job goes deeper. */
const DEEPEST = 4;

/** The key of an element's own name in a job and among a vocabulary's hidden names: `tools[].number`. */
export const elementKey = (list: string, own: string): string => `${list}[].${own}`;

/**
 * The names, and behind them those of lists' elements as hidden names, so that a job has a value for them too: the same
 * for each element, or rising from it (`Name.rising`).
 */
export function withElements(names: Iterable<Name>): Map<string, Name> {
  const all = new Map<string, Name>();
  const elements: Name[] = [];
  const collect = ({ items = [], name, roles }: Name, depth: number): void => {
    for (const item of items) {
      const { atLeast, atMost, ...rest } = item;
      const full: Name = {
        ...rest,
        name: elementKey(name, item.name),
        hidden: true,
        ...(roles ? { roles } : {}),
        ...(atLeast ? { atLeast: elementKey(name, atLeast) } : {}),
        ...(atMost ? { atMost: elementKey(name, atMost) } : {}),
      };
      elements.push(full);
      if (depth < DEEPEST) collect(full, depth + 1);
    }
  };
  for (const name of names) {
    all.set(name.name, name);
    collect(name, 1);
  }
  for (const name of elements) if (!all.has(name.name)) all.set(name.name, name);
  return all;
}

/** What a name means where it stands. */
export interface Meant {
  /** As a tag there writes it; its `name` is the element's own where it is an element's. */
  readonly name: Name;
  /** Its key in a job and in the vocabulary. */
  readonly key: string;
}

/** What names mean in each tag: a section over a list puts its elements' names in front of all others. */
export interface Scopes {
  /** undefined: no such name there. The element itself is `.`. */
  find(tag: Tag, name: string): Meant | undefined;
  /** The elements' names that may be used in a tag, innermost list first, none twice. */
  elements(tag: Tag): readonly Name[];
  /** The lists whose sections hold the tag, innermost first. */
  lists(tag: Tag): readonly Name[];
  /** The list whose element `.` is there: that of the section around the tag, where it goes through one with names. */
  element(tag: Tag): Name | null;
}

interface Scope {
  readonly list: Name;
  readonly own: ReadonlyMap<string, Meant>;
  /** First parts of the own names: whatever begins like them is looked for in here only. */
  readonly heads: ReadonlySet<string>;
  readonly outer: Scope | null;
}

/** Reads which sections go through a list. Time grows linearly with the text. */
export function scopesOf(tree: Tree, expressions: Expressions, vocabulary: Vocabulary): Scopes {
  const inside = new Map<Section, Scope>();
  const around = new Map<Tag, Scope>();
  /** Tags directly inside a section that goes through a list. */
  const direct = new Map<Tag, Name>();
  const through = new Map<Section, Name>();
  const opened = new Map(tree.sections.map((section) => [section.open, section]));
  const find = (scope: Scope | undefined, name: string): Meant | undefined => {
    const head = headOf(name);
    for (let at: Scope | null = scope ?? null; at; at = at.outer) {
      if (at.heads.has(head)) return at.own.get(name);
    }
    const known = vocabulary.names.get(name);
    return known && { name: known, key: name };
  };
  const sets = namesSet(tree, expressions, vocabulary);
  const findAt = (tag: Tag, scope: Scope | undefined, name: string): Meant | undefined => {
    const found = find(scope, name);
    const set = found ? undefined : sets.get(name);
    return found ?? (set && set.from <= tag.span.start ? { name: set.name, key: name } : undefined);
  };
  const stack: Section[] = [];
  for (const tag of tree.tags) {
    while (stack.length > 0 && (stack.at(-1) as Section).span.end <= tag.span.start) stack.pop();
    const section = opened.get(tag);
    const holder = section ? section.parent : stack.at(-1);
    const scope = holder ? inside.get(holder) : undefined;
    if (scope) around.set(tag, scope);
    const list = holder && through.get(holder);
    if (list) direct.set(tag, list);
    if (!section) continue;
    stack.push(section);
    const read = expressions.get(tag);
    const expr = read?.expr;
    const over = expr?.type === 'name' && repeats(section) ? findAt(tag, scope, expr.name) : undefined;
    const own = read?.loop
      ? scopeOfLoop(read.loop, over, scope ?? null)
      : over
        ? scopeOver(over, scope ?? null)
        : scope;
    if (own) inside.set(section, own);
    if (over?.name.items && over.name.items.length > 0) through.set(section, over.name);
  }
  return {
    find: (tag, name) => findAt(tag, around.get(tag), name),
    elements(tag) {
      const names = new Map<string, Name>();
      for (const scope of chain(around.get(tag)))
        for (const [own, { name }] of scope.own) if (!names.has(own) && own !== '.') names.set(own, name);
      return [...names.values()];
    },
    element: (tag) => direct.get(tag) ?? null,
    lists: (tag) => chain(around.get(tag)).map(({ list }) => list),
  };
}

/** Whether a section's mark makes it go through a list; a keyword only asks whether. */
export const repeats = ({ inverted, open }: Section): boolean => !inverted && goesThrough(open);

function scopeOver({ name, key }: Meant, outer: Scope | null): Scope | null {
  if (name.kind !== 'list' || !name.items || name.items.length === 0) return outer;
  // The same list again inside itself: the inner element's names are the same ones.
  if (outer?.list === name) return outer;
  const own = new Map<string, Meant>();
  for (const item of name.items) own.set(item.name, { name: item, key: elementKey(key, item.name) });
  return { list: name, own, heads: new Set([...own.keys()].map(headOf)), outer };
}

/** What a section over a list names in it: `tip`, `tip.size`, and the index; the element's own names where it names no item. */
function scopeOfLoop({ roles, opens }: LoopNames, over: Meant | undefined, outer: Scope | null): Scope {
  const own = new Map<string, Meant>();
  const list = over?.name ?? anyName('', 'list');
  const items = over?.name.items ?? [];
  const put = (name: string, one: Name): unknown =>
    own.set(name, { name: { ...one, name }, key: elementKey(over?.key ?? '', one.name) });
  for (const [word, role] of roles) {
    if (role === 'item') {
      for (const one of items) put(one.name === '.' ? word : `${word}.${one.name}`, one);
      if (!own.has(word)) own.set(word, { name: anyName(word, 'number'), key: word });
    } else own.set(word, { name: anyName(word, role.startsWith('is') ? 'flag' : 'count'), key: word });
  }
  if (opens) for (const one of items) put(one.name, one);
  return { list, own, heads: new Set([...own.keys()].map(headOf)), outer };
}

const anyName = (name: string, kind: Name['kind'], meaning = ''): Name => ({
  ...{ name, kind, unit: '', range: null, meaning },
  sample: kind === 'text' ? '' : kind === 'flag' ? false : 0,
});

/** A name that the text sets, and from where on it is one. */
interface SetHere {
  readonly name: Name;
  readonly from: number;
}

/** The names that the text sets, as far as its own tags say what they are. */
function namesSet(tree: Tree, expressions: Expressions, vocabulary: Vocabulary): ReadonlyMap<string, SetHere> {
  const names = new Map<string, SetHere>();
  const find = (name: string): Name | undefined => vocabulary.names.get(name) ?? names.get(name)?.name;
  const loops = tree.sections.filter(repeats).sort((a, b) => a.span.start - b.span.start);
  let next = 0;
  let outermost: Section | undefined;
  for (const [tag, { sets, expr }] of expressions) {
    if (sets === undefined || names.has(sets)) continue;
    const type = expr ? checkTypes(expr, find).type.type : 'unknown';
    const kind = type === 'text' || type === 'flag' || type === 'list' ? type : 'number';
    // A loop comes back to what stands above it in there.
    for (let loop = loops[next]; loop && loop.span.start <= tag.span.start; loop = loops[++next])
      if (!outermost || outermost.span.end <= loop.span.start) outermost = loop;
    const loop = outermost && tag.span.end <= outermost.span.end ? outermost : undefined;
    names.set(sets, {
      name: anyName(sets, kind, 'Set further up in this text.'),
      from: loop?.span.start ?? tag.span.start,
    });
  }
  return names;
}

function chain(scope: Scope | undefined): Scope[] {
  const scopes: Scope[] = [];
  for (let at: Scope | null = scope ?? null; at; at = at.outer) scopes.push(at);
  return scopes;
}

/** The first part of a dotted name; `.` is its own. */
export const headOf = (name: string): string => {
  const dot = name.indexOf('.', 1);
  return dot < 0 ? name : name.slice(0, dot);
};

/** The same expression with each name as its key in a job. */
export function withKeys(expr: Expr, keyOf: (name: string) => string): Expr {
  if (expr.type === 'name') return { ...expr, name: keyOf(expr.name) };
  const parts = childrenOf(expr);
  return parts.length === 0
    ? expr
    : withChildren(
        expr,
        parts.map((part) => withKeys(part, keyOf)),
      );
}

import type { Section, Tag, Tree } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import { childrenOf, type Expr, namesIn, withChildren } from './expr.ts';
import type { ParsedExpression } from './expression.ts';
import { goesThrough } from './statements.ts';

// Names that the text itself sets. A job's names never change while it is filled in, so a name that was set is at each
// place one expression over them: what it was set to, or, where branches met, a choice between those. Every use is tied
// to that expression (`means`), and whoever works expressions out needs to know nothing of statements.

/** What a set name is where nobody can say: after many passes of a loop, or where it was set in some other way. */
const unknownAt = (at: number, like: Expr | null): Expr => ({
  type: 'foreign',
  written: '',
  gives: null,
  args: [],
  span: { start: at, end: at },
  ...(like?.rules ? { rules: like.rules } : {}),
});

type Meanings = ReadonlyMap<string, Expr>;

interface Open {
  readonly section: Section;
  readonly before: Meanings;
  /** What branches of the chain that came before left, and whether one of them is always taken. */
  readonly earlier: readonly { readonly tag: Tag; readonly after: Meanings }[];
}

/** A name that is set from itself before it has a value. */
export interface CyclicSet {
  readonly tag: Tag;
  readonly name: string;
  readonly span: Span;
}

export interface Settled {
  readonly expressions: Map<Tag, ParsedExpression>;
  readonly cyclic: readonly CyclicSet[];
}

/**
 * Ties each use of a name that the text sets to what it means there. One pass over the tags; work grows linearly with
 * them and with the names that are set.
 * @param isGiven Whether the job has a value for a name.
 */
export function settle(
  tree: Tree,
  read: ReadonlyMap<Tag, ParsedExpression>,
  isGiven: (name: string) => boolean,
): Settled | null {
  const sets = [...read].filter(([, { sets }]) => sets !== undefined);
  if (sets.length === 0) return null;
  const expressions = new Map(read);
  const walk = new Walk(tree, expressions);
  walk.run();
  return { expressions, cyclic: cyclesIn(sets, expressions, isGiven) };
}

class Walk {
  readonly #tree: Tree;
  readonly #expressions: Map<Tag, ParsedExpression>;
  readonly #open: Open[] = [];
  /** How many meanings lie in one another, of those that hold others. */
  readonly #deep = new Map<Expr, number>();
  readonly #lost: ReadonlySet<string>;
  /** What the branches of a chain leave behind, by its first tag. */
  readonly #chains = new Map<Tag, { tag: Tag; after: Meanings }[]>();
  readonly #setIn: ReadonlyMap<Section, ReadonlySet<string>>;
  #now: Meanings = new Map();

  constructor(tree: Tree, expressions: Map<Tag, ParsedExpression>) {
    this.#tree = tree;
    this.#expressions = expressions;
    const { inside, lost } = setInside(tree, expressions);
    this.#setIn = inside;
    this.#lost = lost;
  }

  run(): void {
    const opened = new Map(this.#tree.sections.map((section) => [section.open, section]));
    for (const tag of this.#tree.tags) {
      this.#closeUpTo(tag.span.start);
      const read = this.#expressions.get(tag);
      if (read) this.#expressions.set(tag, tied(read, this.#now));
      if (read?.sets !== undefined) {
        const value = this.#expressions.get(tag)?.expr ?? unknownAt(tag.span.start, null);
        this.#now = new Map(this.#now).set(
          read.sets,
          this.#lost.has(read.sets) ? unknownAt(0, value) : this.#kept(value),
        );
      }
      const section = opened.get(tag);
      if (section) this.#begin(section);
    }
    this.#closeUpTo(Number.POSITIVE_INFINITY);
  }

  /** A meaning that lies in too many others is not followed: working it out would go as deep. */
  #kept(value: Expr): Expr {
    const deep = 1 + deepest(value, this.#deep);
    if (deep > DEEPEST) return unknownAt(value.span.start, value);
    this.#deep.set(value, deep);
    return value;
  }

  #begin(section: Section): void {
    // A branch ends where the next one of its chain begins.
    for (
      let top = this.#open.at(-1);
      section.unless.length > 0 && top?.section.chain === section.chain;
      top = this.#open.at(-1)
    ) {
      this.#open.pop();
      this.#end(top);
    }
    const earlier = section.unless.length > 0 ? (this.#chains.get(section.chain) ?? []) : [];
    // Branches behind the first begin with what was known before the chain.
    const before = earlier.length > 0 ? (this.#chainBefore.get(section.chain) ?? this.#now) : this.#now;
    if (section.unless.length === 0) this.#chainBefore.set(section.chain, before);
    this.#open.push({ section, before, earlier });
    this.#now = goesThrough(section.open) ? this.#inLoop(section, before) : before;
  }
  readonly #chainBefore = new Map<Tag, Meanings>();

  /** In a loop a name may have what an earlier pass set it to. */
  #inLoop(section: Section, before: Meanings): Meanings {
    const names = this.#setIn.get(section);
    if (!names) return before;
    const inside = new Map(before);
    for (const name of names) inside.set(name, unknownAt(section.open.span.start, before.get(name) ?? null));
    return inside;
  }

  #closeUpTo(place: number): void {
    for (let top = this.#open.at(-1); top && top.section.span.end <= place; top = this.#open.at(-1)) {
      this.#open.pop();
      this.#end(top);
    }
  }

  #end({ section, before }: Open): void {
    const names = this.#setIn.get(section) ?? NONE;
    if (section.unless.length > MOST_BRANCHES) return;
    const chain = this.#chains.get(section.chain) ?? [];
    chain.push({ tag: section.open, after: this.#now });
    this.#chains.set(section.chain, chain);
    const start = this.#chainBefore.get(section.chain) ?? before;
    const meant = new Map(start);
    const all = new Set([...names, ...chain.flatMap(({ tag }) => [...(this.#setInTag.get(tag) ?? NONE)])]);
    this.#setInTag.set(section.open, all);
    for (const name of all)
      meant.set(name, this.#lost.has(name) ? unknownAt(0, null) : this.#kept(this.#met(name, start, chain, section)));
    this.#now = meant;
  }
  readonly #setInTag = new Map<Tag, ReadonlySet<string>>();

  /** What a name is behind a chain: what the branch that was taken left, else what it was. */
  #met(name: string, before: Meanings, chain: readonly { tag: Tag; after: Meanings }[], section: Section): Expr {
    const at = section.span.end;
    let value = before.get(name) ?? unknownAt(at, null);
    for (const { tag, after } of [...chain].reverse()) {
      const own = after.get(name) ?? value;
      if (own === value) continue;
      value = this.#choice(tag, own, value, at);
    }
    return value;
  }

  #choice(tag: Tag, yes: Expr, no: Expr, at: number): Expr {
    if (tag.keyword === 'else' || (tag.keyword as string) === 'switch') return yes;
    const read = this.#expressions.get(tag);
    const test = read?.condition ?? read?.expr;
    // How often a loop runs, and what its last pass left, nobody can say.
    if (!test || goesThrough(tag)) return unknownAt(at, no);
    const rules = test.rules ? { rules: test.rules } : {};
    const [a, b] = tag.kind === 'inverted' ? [no, yes] : [yes, no];
    return { type: 'choice', test, yes: a, no: b, met: true, span: { start: at, end: at }, ...rules };
  }
}

const NONE: ReadonlySet<string> = Object.freeze(new Set<string>());

const DEEPEST = 300;
/** Branches of one chain, sections inside one another, and names, of which what is set in them is followed. */
const MOST_BRANCHES = 64;
const MOST_NAMES = 500;

/** How many meanings lie in one another in an expression. */
function deepest(expr: Expr, known: ReadonlyMap<Expr, number>): number {
  if (expr.type === 'name') return expr.means ? (known.get(expr.means) ?? 0) : 0;
  let most = known.get(expr) ?? 0;
  for (const part of childrenOf(expr)) most = Math.max(most, deepest(part, known));
  return most;
}

interface SetInside {
  /** The names that are set somewhere in each section. */
  readonly inside: ReadonlyMap<Section, ReadonlySet<string>>;
  /** Names that are set where nobody follows. */
  readonly lost: ReadonlySet<string>;
}

function setInside(tree: Tree, expressions: ReadonlyMap<Tag, ParsedExpression>): SetInside {
  const inside = new Map<Section, Set<string>>();
  const lost = new Set<string>();
  const all = new Set<string>();
  const open: Section[] = [];
  let next = 0;
  const sections = [...tree.sections].sort((a, b) => a.span.start - b.span.start);
  for (const tag of tree.tags) {
    for (let s = sections[next]; s && s.span.start <= tag.span.start; s = sections[++next]) open.push(s);
    while (open.length > 0 && (open.at(-1) as Section).span.end <= tag.span.start) open.pop();
    const name = expressions.get(tag)?.sets;
    if (name === undefined) continue;
    all.add(name);
    if (
      open.length > MOST_BRANCHES ||
      all.size > MOST_NAMES ||
      open.some(({ unless }) => unless.length > MOST_BRANCHES)
    ) {
      lost.add(name);
      continue;
    }
    for (const section of open) {
      if (section.span.end <= tag.span.start) continue;
      const names = inside.get(section) ?? new Set();
      inside.set(section, names.add(name));
    }
  }
  return { inside, lost };
}

/** An expression in which each name that is set has its meaning. */
function tied(read: ParsedExpression, now: Meanings): ParsedExpression {
  const { expr, condition } = read;
  if (now.size === 0 || !expr) return read;
  return {
    ...read,
    expr: meaning(expr, now),
    ...(condition ? { condition: meaning(condition, now) } : {}),
  };
}

function meaning(expr: Expr, now: Meanings): Expr {
  if (expr.type === 'name') {
    const means = now.get(expr.name);
    return means ? { ...expr, means } : expr;
  }
  const parts = childrenOf(expr);
  return parts.length === 0
    ? expr
    : withChildren(
        expr,
        parts.map((part) => meaning(part, now)),
      );
}

/** Names that are set from themselves, or from one another in a circle, before any of them has a value: one for each circle. */
function cyclesIn(
  sets: readonly (readonly [Tag, ParsedExpression])[],
  expressions: ReadonlyMap<Tag, ParsedExpression>,
  isGiven: (name: string) => boolean,
): CyclicSet[] {
  const first = new Map<string, { readonly tag: Tag; readonly span: Span; readonly needs: readonly string[] }>();
  for (const [tag] of sets) {
    const read = expressions.get(tag);
    const name = read?.sets;
    if (!read || name === undefined || first.has(name) || isGiven(name)) continue;
    const needs = read.expr ? namesIn(read.expr).map((one) => one.name) : [];
    first.set(name, { tag, span: read.expr?.span ?? tag.span, needs });
  }
  const cycles: CyclicSet[] = [];
  const done = new Set<string>();
  for (const [name, { tag, span }] of first) {
    if (done.has(name)) continue;
    const way = new Set<string>();
    for (let at: string | undefined = name; at !== undefined && !done.has(at); ) {
      if (way.has(at)) {
        cycles.push({ tag, name, span });
        break;
      }
      way.add(at);
      at = first.get(at)?.needs.find((need) => first.has(need));
    }
    for (const one of way) done.add(one);
  }
  return cycles;
}

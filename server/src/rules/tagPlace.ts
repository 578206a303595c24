import { withKeys } from '../placeholders/elements.ts';
import { truthOf } from '../placeholders/evaluate.ts';
import type { Expr } from '../placeholders/expression.ts';
import { narrow } from '../placeholders/narrow.ts';
import type { Env } from '../placeholders/value.ts';
import type { Section, Tag } from '../syntax/nodes.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import type { View } from './rule.ts';

/** A condition that is known to hold, or not to, where something stands. */
export interface KnownCondition {
  readonly condition: Expr;
  readonly holds: boolean;
}

/** One tag's expression with all that is known of the names where it stands. */
export interface TagPlace {
  readonly tag: Tag;
  /** Names are written as a job has them: an element's own name with its list (`tools[].number`). */
  readonly expr: Expr;
  readonly env: Env;
  /** The conditions of the sections around it, the nearest last. */
  readonly guards: readonly KnownCondition[];
  /** Whether it is filled in at all: true, false, or in some jobs only. */
  readonly there: boolean | null;
}

type Around = Omit<TagPlace, 'tag' | 'expr'>;

/** Sections in sections of which the conditions are remembered; those further in know no more than these. */
const DEEPEST = 16;

/** Every tag that holds an expression, in order, under one environment. Time grows linearly with the text. */
export const tagPlaces = (view: View, base: Env): TagPlace[] => finish(placingTags(view, base));

/** The same in pieces. */
export function* placingTags(view: View, base: Env): Pieces<TagPlace[]> {
  const pace = new Pace();
  const { tree, expressions } = view;
  const opened = new Map(tree.sections.map((section) => [section.open, section]));
  const root: Around = { env: base, guards: [], there: true };
  const inside = new Map<Section, Around>();
  const keyed = (tag: Tag): Expr | null => {
    const expr = expressions.get(tag)?.expr;
    if (!expr || view.scopes.lists(tag).length === 0) return expr ?? null;
    return withKeys(expr, (name) => view.scopes.find(tag, name)?.key ?? name);
  };
  const places: TagPlace[] = [];
  const stack: Section[] = [];
  for (const tag of tree.tags) {
    if (pace.due()) yield;
    while (stack.length > 0 && (stack.at(-1) as Section).span.end <= tag.span.start) stack.pop();
    const section = opened.get(tag);
    const holder = section ? section.parent : stack.at(-1);
    const around = (holder && inside.get(holder)) ?? root;
    const expr = keyed(tag);
    if (expr) places.push({ tag, expr, ...around });
    if (!section) continue;
    stack.push(section);
    inside.set(section, bodyOf(section, around, keyed));
  }
  return places;
}

/** What is known inside a section's body. */
function bodyOf(section: Section, around: Around, keyed: (tag: Tag) => Expr | null): Around {
  const guards = [...around.guards];
  let { env, there } = around;
  const branches = [...section.unless.slice(-DEEPEST), section.open];
  for (const tag of branches) {
    const own = tag === section.open;
    const condition = keyed(tag);
    if (!condition) {
      if (tag.keyword !== 'else') there = there && null;
      continue;
    }
    const holds = own === (tag.kind !== 'inverted');
    const is = truthOf(condition, env);
    there = is === null ? there && null : is === holds ? there : false;
    if (guards.length >= DEEPEST) continue;
    guards.push({ condition, holds });
    env = narrow(condition, holds, env);
  }
  if (section.unless.length > DEEPEST) there = there && null;
  return { env, guards, there };
}

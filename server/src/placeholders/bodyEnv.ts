import type { Section } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { NO_FACTS } from './affine.ts';
import { headOf, repeats } from './elements.ts';
import { namesIn } from './expr.ts';
import type { LoopNames, LoopRole } from './statements.ts';
import { type Expressions, tagValue } from './tags.ts';
import { type Env, envLike, type Value } from './value.ts';

/**
 * The names where a section's body runs for the `turn`-th time (from 0): a list's element puts its own names in front,
 * and hides all that begin like them (Mustache specification, "Dotted Names"); of any other value `.` is the value.
 */
export function bodyEnv(section: Section, turn: number, expressions: Expressions, env: Env): Env {
  if (!repeats(section)) return env;
  const read = expressions.get(section.open);
  const value = tagValue(section.open, expressions, env);
  if (read?.loop) return loopEnv(read.loop, value, turn, read.first ?? null, env);
  if (value.type !== 'list')
    return namesElement(expressions) ? inside(env, (name) => (name === '.' ? value : env(name))) : env;
  const own = elementOf(value, turn) ?? NONE;
  if (own.size === 0) return inside(env, (name) => (name === '.' ? undefined : env(name)));
  const heads = new Set([...own.keys()].map(headOf));
  return inside(env, (name) => (name === '.' || heads.has(headOf(name)) ? own.get(name) : env(name)));
}

/** Whether any tag asks for `.`. */
const namesElement = once((expressions: Expressions) => {
  for (const { expr } of expressions.values()) if (expr && namesIn(expr).some(({ name }) => name === '.')) return true;
  return false;
});

/** The names in a section over a list: its item, the item's own names, the element's number, whether it is first or last. */
function loopEnv({ roles, opens }: LoopNames, value: Value, turn: number, first: 0 | 1 | null, env: Env): Env {
  const own = (value.type === 'list' ? elementOf(value, turn) : null) ?? NONE;
  const heads = new Set(opens ? [...own.keys()].map(headOf) : []);
  const items = [...roles].flatMap(([name, role]) => (role === 'item' ? [name] : []));
  return inside(env, (name) => {
    const role = roles.get(name);
    if (role === 'item') return own.get('.');
    if (role !== undefined) return loopValue(role, value, turn, first);
    if (heads.has(headOf(name)) || (opens && name === '.')) return own.get(name);
    const item = items.find((one) => headOf(name) === headOf(one));
    return item === undefined ? env(name) : own.get(name.slice(item.length + 1));
  });
}

function loopValue(role: Exclude<LoopRole, 'item'>, value: Value, turn: number, first: 0 | 1 | null): Value {
  switch (role) {
    case 'index':
      return indexAt(value, turn, first);
    case 'indexFrom0':
      return indexAt(value, turn, 0);
    case 'indexFrom1':
      return indexAt(value, turn, 1);
    case 'isFirst':
      return { type: 'flag', is: turn >= 0 ? turn === 0 : null };
    case 'isLast': {
      const { lo, hi } = value.type === 'list' ? value.length : { lo: 0, hi: Number.POSITIVE_INFINITY };
      // The last one of a list that may be longer is the last in some jobs.
      return { type: 'flag', is: turn < 0 ? null : turn < lo - 1 ? false : lo === hi && turn === hi - 1 ? true : null };
    }
  }
}

/** Both origins where nobody says from which a language counts. */
function indexAt(value: Value, turn: number, first: 0 | 1 | null): Value {
  const [from, to] = first === null ? [0, 1] : [first, first];
  if (turn >= 0) return { type: 'number', lo: from + turn, hi: to + turn };
  const most = value.type === 'list' ? value.length.hi - 1 : Number.POSITIVE_INFINITY;
  return { type: 'number', lo: from, hi: Math.max(to, to + most) };
}

/** Some names are others in there: what conditions say of a name by itself may be about another one. */
function inside(env: Env, lookUp: (name: string) => Value | undefined): Env {
  const { facts } = env;
  return envLike(env, lookUp, facts && { ...facts, truths: NO_FACTS.truths });
}

const NONE: ReadonlyMap<string, Value> = Object.freeze(new Map());

/** The names of the element that a list's section is filled in for at its `turn`-th time (from 0); null: none are known. */
export function elementAt(
  section: Section,
  turn: number,
  expressions: Expressions,
  env: Env,
): ReadonlyMap<string, Value> | null {
  const value = tagValue(section.open, expressions, env);
  return value.type === 'list' ? elementOf(value, turn) : null;
}

const elementOf = (list: Extract<Value, { type: 'list' }>, turn: number): ReadonlyMap<string, Value> | null =>
  list.items?.[turn] ?? list.each ?? null;

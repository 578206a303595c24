import type { Section } from '../syntax/nodes.ts';
import { NO_FACTS } from './affine.ts';
import { headOf, repeats } from './elements.ts';
import { type Expressions, tagValue } from './tags.ts';
import { besides, type Env, type Value } from './value.ts';

/**
 * The names where a section's body runs for the `turn`-th time (from 0): a list's element puts its own names in front,
 * and hides all that begin like them (Mustache specification, "Dotted Names"); of any other value `.` is the value.
 */
export function bodyEnv(section: Section, turn: number, expressions: Expressions, env: Env): Env {
  if (!repeats(section)) return env;
  const value = tagValue(section.open, expressions, env);
  if (value.type !== 'list') return inside(env, (name) => (name === '.' ? value : env(name)));
  const own = elementOf(value, turn) ?? NONE;
  if (own.size === 0) return inside(env, (name) => (name === '.' ? undefined : env(name)));
  const heads = new Set([...own.keys()].map(headOf));
  return inside(env, (name) => (name === '.' || heads.has(headOf(name)) ? own.get(name) : env(name)));
}

/** Some names are others in there: what conditions say of a name by itself may be about another one. */
function inside(env: Env, lookUp: (name: string) => Value | undefined): Env {
  const { facts } = env;
  return Object.assign(lookUp, { ...besides(env), ...(facts ? { facts: { ...facts, truths: NO_FACTS.truths } } : {}) });
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

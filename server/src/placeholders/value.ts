import type { Facts } from './affine.ts';
import { type Bounds, bounds, type Known } from './bounds.ts';
import type { Expr } from './expr.ts';
import type { UnstatedRule } from './rules.ts';

/** What an expression can be: a number within bounds, one of some texts, a flag that may be either, a list, or unknown. */
export type Value =
  | ({ readonly type: 'number' } & Bounds)
  /** null: any text. `number`: of a number that is written out with a format, where it lies. */
  | { readonly type: 'text'; readonly any: readonly string[] | null; readonly number?: Bounds }
  /** null: may be true or false. */
  | { readonly type: 'flag'; readonly is: boolean | null }
  /**
   * A list of `length` elements. `items`: the own names of each element, where it is known; `each`: what they can be in
   * any element. An element that is a plain value has it as its name `.`. `perTool`: one element for each tool.
   */
  | {
      readonly type: 'list';
      readonly length: Bounds;
      readonly items: readonly ReadonlyMap<string, Value>[] | null;
      readonly each?: ReadonlyMap<string, Value>;
      readonly perTool?: true;
    }
  /** `nothing`: certainly no value at all. */
  | { readonly type: 'unknown'; readonly nothing?: true };

/** Looks a placeholder name up; undefined where there is no such name. Bounds run and exact jobs differ only in this. */
export interface Env {
  (name: string): Value | undefined;
  /** What the conditions around say; absent: nothing. */
  readonly facts?: Facts;
  /**
   * Where a text is being filled in: rules of its language that are not stated and decided something. Names that the
   * text sets are then asked for as any other, as they are at that moment.
   */
  readonly asks?: Set<UnstatedRule>;
  /** Where a text is being filled in: whether there is a value for a name. */
  readonly has?: (name: string) => boolean;
  /** What has been worked out under it, so that it is worked out once; it lasts as long as the environment. */
  memory?: EnvMemory;
}

/** What is remembered of one environment. Each map is made when there is something to put into it. */
export interface EnvMemory {
  /** What conditions, and what else branches, come to. */
  worked: Map<Expr, Value> | undefined;
  /** The names where a condition holds, and where it does not. */
  holding: Map<Expr, Env> | undefined;
  failing: Map<Expr, Env> | undefined;
  /** The same by the condition as it is written in one way only. */
  narrowed: Map<string, Env> | undefined;
}

/** The memory of an environment. */
export function memoryOf(env: Env): EnvMemory {
  env.memory ??= { worked: undefined, holding: undefined, failing: undefined, narrowed: undefined };
  return env.memory;
}

type Changing = { -readonly [key in keyof Env]: Env[key] };

/** An environment with what another has beside its names, and other facts. */
export function envLike(env: Env, lookUp: (name: string) => Value | undefined, facts: Facts | undefined): Env {
  const { asks, has } = env;
  const made: Changing & ((name: string) => Value | undefined) = lookUp;
  if (facts) made.facts = facts;
  if (asks) made.asks = asks;
  if (has) made.has = has;
  return made;
}

/** The number that a value is; unknown for texts, flags and lists. */
export function asNumber(value: Value): Known {
  if (value.type !== 'number') return null;
  const { lo, hi, form, here } = value;
  if (!form) return bounds(lo, hi);
  return here ? { lo, hi, form, here } : { lo, hi, form };
}

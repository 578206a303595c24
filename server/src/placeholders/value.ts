import type { Facts } from './affine.ts';
import { type Bounds, bounds, type Known } from './bounds.ts';

/** What an expression can be: a number within bounds, one of some texts, a flag that may be either, a list, or unknown. */
export type Value =
  | ({ readonly type: 'number' } & Bounds)
  /** null: any text. */
  | { readonly type: 'text'; readonly any: readonly string[] | null }
  /** null: may be true or false. */
  | { readonly type: 'flag'; readonly is: boolean | null }
  /**
   * A list of `length` elements. `items`: the own names of each element, where it is known; `each`: what they can be in
   * any element.
   */
  | {
      readonly type: 'list';
      readonly length: Bounds;
      readonly items: readonly ReadonlyMap<string, Value>[] | null;
      readonly each?: ReadonlyMap<string, Value>;
    }
  | { readonly type: 'unknown' };

/** Looks a placeholder name up; undefined where there is no such name. Bounds run and exact jobs differ only in this. */
export interface Env {
  (name: string): Value | undefined;
  /** What the conditions around say; absent: nothing. */
  readonly facts?: Facts;
}

/** The number that a value is; unknown for texts, flags and lists. */
export function asNumber(value: Value): Known {
  if (value.type !== 'number') return null;
  const { lo, hi, form, here } = value;
  if (!form) return bounds(lo, hi);
  return here ? { lo, hi, form, here } : { lo, hi, form };
}

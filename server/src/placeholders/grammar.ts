import type { AnyFunction, Gives } from './expr.ts';
import type { Rules } from './rules.ts';

export { type LanguageRule, NO_RULES, type Rules } from './rules.ts';

/**
 * How a placeholder language writes its expressions, and what of them the text cannot show. A plain value, read from a
 * vocabulary file; the reader, bounds, types and filling in take it as it is, and none of them knows which language it is.
 */
export interface Grammar {
  /** Signs and words between two values, in front of one, and what they do. */
  readonly operators: readonly Operator[];
  /** How a value hangs on a condition, with YES, CONDITION and NO in their places: `YES if CONDITION else NO`. */
  readonly choices: readonly string[];
  readonly words: {
    readonly true: readonly string[];
    readonly false: readonly string[];
    readonly nothing: readonly string[];
  };
  /** What texts may stand in. */
  readonly quotes: readonly string[];
  readonly names: NameForm;
  readonly calls: readonly CallForm[];
  /** Functions by the language's own names. */
  readonly functions: ReadonlyMap<string, LanguageFunction>;
  /** Forms in which a value's digits are given behind it, with N for their number: `:.Nf`, `:0.N` (zeros count). */
  readonly formats: readonly string[];
  /** The same directly behind a tag's close, as a part of the tag: `d`, `.Nf`. Without N: whole (`d`, `i`), as it is (`s`). */
  readonly formatsBehind: readonly string[];
  readonly loops: LoopWords;
  /** Index of a list's first element; null: not stated. */
  readonly firstIndex: 0 | 1 | null;
  /** null: those of ECMA-262, as in our own language. */
  readonly rules: Rules | null;
}

/** What an operator does. `join`: puts texts together. `otherwise`: the right side where the left is missing. */
export type Operation =
  | 'or'
  | 'and'
  | 'not'
  | 'equal'
  | 'notEqual'
  | 'less'
  | 'atMost'
  | 'more'
  | 'atLeast'
  | 'add'
  | 'subtract'
  | 'multiply'
  | 'divide'
  | 'wholeDivide'
  | 'remainder'
  | 'power'
  | 'join'
  | 'matches'
  | 'otherwise';

export interface Operator {
  /** A sign, or a word; several words with blanks between. */
  readonly written: string;
  readonly does: Operation;
  /** Equal without turning one type into another (`===`). */
  readonly strict?: true;
}

/** Names that mean something in every loop: the element, its number, whether it is the first or the last. */
export interface LoopWords {
  readonly item: readonly string[];
  readonly indexFrom0: readonly string[];
  readonly indexFrom1: readonly string[];
  readonly isFirst: readonly string[];
  readonly isLast: readonly string[];
}

export const NO_LOOP_WORDS: LoopWords = { item: [], indexFrom0: [], indexFrom1: [], isFirst: [], isLast: [] };

/** Which characters make a name. */
export interface NameForm {
  /** Signs in front of a name that are no part of it: `$`, `.`. */
  readonly marks: readonly string[];
  /** Characters beyond letters, digits, `_` and `.` that a name may hold: `-`, `%`, a blank. */
  readonly letters: string;
  /** Whether names in another case are other names; null: not stated. */
  readonly caseMatters: boolean | null;
}

/** `f(a, b)`; `a.f(b)`; behind a sign, `a | f: b, c` or `a | f(b)`; or words in front, `f a b`. */
export type CallForm =
  | { readonly is: 'brackets' }
  | { readonly is: 'method' }
  | { readonly is: 'filter'; readonly sign: string; readonly behind: ':' | '(' }
  | { readonly is: 'words' };

/** What a function of the language stands for, or what is known of its result. */
export type LanguageFunction = { readonly is: 'ours'; readonly name: AnyFunction } | Gives;

import type { Bounds } from './bounds.ts';
import type { FunctionName } from './expression.ts';

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
  /** Forms in which a value's digits are given behind it, with N for their number: `:.Nf`, `%.Nf`, `:0.N`. */
  readonly formats: readonly string[];
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
}

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
export type LanguageFunction =
  | { readonly is: 'ours'; readonly name: FunctionName }
  | { readonly is: 'number'; readonly range: Bounds | null }
  | { readonly is: 'text' }
  | { readonly is: 'flag' };

/** What the text of a language cannot show. null: not stated, so that bounds take every way and filling in asks. */
export interface Rules {
  /** Whether 0 counts as true in a condition, and so on. */
  readonly zeroHolds: boolean | null;
  readonly emptyTextHolds: boolean | null;
  readonly emptyListHolds: boolean | null;
  /** Whether 7 / 2 is 3. */
  readonly wholeDivision: boolean | null;
  readonly rounding: 'up' | 'to even' | 'away from 0' | null;
  readonly remainder: 'as the left side' | 'as the right side' | null;
  /** Whether -2 ^ 2 is -4, and 2 ^ 3 ^ 2 is 512 (before a sign); 4 and 64 otherwise, as in spreadsheets. */
  readonly power: 'before a sign' | 'after a sign' | null;
  /** How `a or b and c` belongs together. */
  readonly andOr: 'and first' | 'left to right' | 'right to left' | null;
  /** Whether `not a == b` negates the comparison; false: a alone. */
  readonly notIsLast: boolean | null;
  /** What a missing name gives. */
  readonly missing: 'nothing' | 'stop' | 'the tag' | null;
  /** Whether a name that is set in a loop keeps its value below. */
  readonly setInLoopHolds: boolean | null;
  /** What a list gives that is written out as it is: its first element, or all with this text between and around. */
  readonly bareList:
    | { readonly is: 'first' }
    | { readonly is: 'joined'; readonly between: string; readonly open: string; readonly close: string }
    | null;
  readonly flagsWritten: { readonly true: string; readonly false: string } | null;
  /** How a whole number that came out of a division or is written as 3.0 is written. */
  readonly wholeAs: '3' | '3.0' | null;
  /** What `5` + `1` gives where one is a text. */
  readonly textPlusNumber: 'joined' | 'sum' | null;
}

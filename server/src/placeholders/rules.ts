/** What the text of a language cannot show. null: not stated, so that bounds take every way and filling in asks. */
export interface Rules {
  /** Whether 0 counts as true in a condition, and so on. */
  readonly zeroHolds: boolean | null;
  readonly emptyTextHolds: boolean | null;
  readonly emptyListHolds: boolean | null;
  /** Whether the text `0` does. */
  readonly zeroTextHolds: boolean | null;
  /** Whether 7 / 2 is 3. */
  readonly wholeDivision: boolean | null;
  /** Where a half goes. */
  readonly rounding: 'up' | 'to even' | 'away from 0' | null;
  /** What -7 / 2 is in whole numbers: -4 (down) or -3. */
  readonly wholePart: 'down' | 'toward 0' | null;
  /** The sign of -7 % 3: -1 (as the left side) or 2. */
  readonly remainder: 'as the left side' | 'as the right side' | null;
  /** -2 ^ 2 and 2 ^ 3 ^ 2: -4 and 512 (before a sign), 4 and 512 (after a sign), or 4 and 64 (left to right). */
  readonly power: 'before a sign' | 'after a sign' | 'left to right' | null;
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

/** A property of `Rules`, as the vocabulary file has it. */
export type LanguageRule = keyof Rules;

/** What filling in may have to ask for: a rule, or where a list's index begins, or whether the case of a name counts. */
export type UnstatedRule = LanguageRule | 'firstIndex' | 'caseMatters';

/** Nothing stated. */
export const NO_RULES: Rules = {
  zeroHolds: null,
  emptyTextHolds: null,
  emptyListHolds: null,
  zeroTextHolds: null,
  wholeDivision: null,
  wholePart: null,
  rounding: null,
  remainder: null,
  power: null,
  andOr: null,
  notIsLast: null,
  missing: null,
  setInLoopHolds: null,
  bareList: null,
  flagsWritten: null,
  wholeAs: null,
  textPlusNumber: null,
};

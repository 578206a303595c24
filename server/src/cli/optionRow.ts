/** An option as it is read and as its help tells it. */
export interface OptionRow {
  readonly name: `--${string}`;
  /** What stands for its value in the help; null where it takes none. */
  readonly value: string | null;
  /** Whether it may be given more than once. */
  readonly many?: boolean;
  readonly help: string;
}

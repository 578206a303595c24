/** Counts the code units that the parser looks at, so that a test can hold that the work grows linearly. */
export interface ParserWork {
  steps: number;
}

/** White space inside a tag. */
export const isSpace = (c: number): boolean => c === 32 || (c >= 9 && c <= 13) || c === 0xa0;
export const isWordChar = (char: string): boolean => /[\p{L}\p{N}_]/u.test(char);
export const isEol = (c: number): boolean => c === 10 || c === 13;

/** The texts in quotes of one stretch, which is gone through from its start. Each row is looked through once for each quote. */
export class Quotes {
  /** For each quote: up to here none of it has a partner. */
  readonly #alone = new Map<string, number>();

  constructor(
    private readonly text: string,
    private readonly start: number,
    private readonly end: number,
    private readonly quotes: readonly string[],
  ) {}

  /**
   * Where the text in quotes that begins at `at` ends; 0 where none begins there, or where it has no end on its row. One
   * directly behind a word is an apostrophe.
   */
  endOf(at: number): number {
    const { text, end } = this;
    const quote = text.charAt(at);
    if (!this.quotes.includes(quote) || at < (this.#alone.get(quote) ?? 0)) return 0;
    if (at > this.start && isWordChar(text.charAt(at - 1))) return 0;
    let i = at + 1;
    for (; i < end && !isEol(text.charCodeAt(i)); i++) {
      if (text.charCodeAt(i) === 92) i++;
      else if (text.charAt(i) === quote) return i + 1;
    }
    this.#alone.set(quote, i);
    return 0;
  }
}

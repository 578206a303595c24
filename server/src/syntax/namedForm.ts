/** The sign that joins a word of a named command and its value: `minutes=4`, `minutes:4`, `minutes 4`, `minutes4`. */
export type Join = '=' | ':' | ' ' | '';

/** What may stand behind a word that a declared command takes. */
export type Takes = 'number' | 'text' | 'flag';

/**
 * How named commands are written, as far as it is stated, and what the declared ones take. Where nothing is stated,
 * every form that can be told apart is read, and none is preferred.
 */
export interface NamedForm {
  /** null: not stated. */
  readonly joins: Join | null;
  /** Whether a single letter directly followed by a number is a word, as in G-code; null: not stated. */
  readonly letters: boolean | null;
  /** The words of a declared command by key, both in upper case; null where the command is not declared. */
  readonly wordsOf: (code: string) => ReadonlyMap<string, Takes> | null;
}

/** Nothing is stated, and no command declared. */
export const ANY_FORM: NamedForm = { joins: null, letters: null, wordsOf: () => null };

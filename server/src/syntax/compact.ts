import type { Span } from '../text/span.ts';
import type { Section, Word, WordValue } from './nodes.ts';

// A long program has a hundred thousand words and numbers. Kept as plain offsets, with spans made when asked for, they
// take a third of the memory, and reading a text is mostly a matter of how much memory it leaves behind.

/** A letter with its value, as `Word`. The key is the one character at the start. */
export class LetterWord implements Word {
  readonly key: string;
  readonly value: WordValue | null;
  readonly section: Section | null;
  readonly start: number;
  readonly end: number;

  constructor(key: string, start: number, end: number, value: WordValue | null, section: Section | null) {
    this.key = key;
    this.start = start;
    this.end = end;
    this.value = value;
    this.section = section;
  }

  get span(): Span {
    return { start: this.start, end: this.end };
  }

  get keySpan(): Span {
    return { start: this.start, end: this.start + 1 };
  }
}

/** A number, as the number form of `WordValue`. */
export class PlainNumber {
  readonly type = 'number';
  readonly number: number;
  readonly start: number;
  readonly end: number;

  constructor(number: number, start: number, end: number) {
    this.number = number;
    this.start = start;
    this.end = end;
  }

  get span(): Span {
    return { start: this.start, end: this.end };
  }
}

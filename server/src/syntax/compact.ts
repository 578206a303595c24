import type { Span } from '../text/span.ts';
import type { Command, Comment, Line, Section, Word, WordValue } from './nodes.ts';

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

/** A letter with a number right behind it, as `Word`: nearly every word of a program. Its value is made when asked for. */
export class NumberWord implements Word {
  constructor(
    readonly key: string,
    readonly start: number,
    readonly end: number,
    readonly number: number,
    readonly section: Section | null,
  ) {}

  get value(): PlainNumber {
    return new PlainNumber(this.number, this.start + 1, this.end);
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

const NO_WORDS: readonly Word[] = Object.freeze([]);

/** A command, as `Command`; its words are added while its line is being read. */
export class ReadCommand implements Command {
  words: readonly Word[] = NO_WORDS;
  freeText: Span | null = null;

  constructor(
    readonly code: string | null,
    private readonly start: number,
    private readonly codeEnd: number,
    readonly named: boolean,
    public section: Section | null,
    private end = codeEnd,
  ) {}

  get span(): Span {
    return { start: this.start, end: this.end };
  }

  get codeSpan(): Span {
    return { start: this.start, end: this.codeEnd };
  }

  /** Adds a word; the command then ends with it. */
  add(word: Word, end: number): void {
    if (this.words === NO_WORDS) this.words = [word];
    else (this.words as Word[]).push(word);
    this.end = end;
  }

  addFreeText(text: Span): void {
    this.freeText = text;
    this.end = text.end;
  }

  /** No word comes any more: gives back the room that a growing list keeps. */
  close(): void {
    if (this.words.length > 1) this.words = this.words.slice();
  }
}

/** A line, as `Line`. */
export class ReadLine implements Line {
  readonly type = 'line';

  constructor(
    readonly index: number,
    private readonly start: number,
    private readonly end: number,
    private readonly next: number,
    readonly number: Word | null,
    readonly commands: readonly Command[],
    readonly comments: readonly Comment[],
    readonly checksum: Line['checksum'],
  ) {}

  get span(): Span {
    return { start: this.start, end: this.end };
  }

  get eol(): Span {
    return { start: this.end, end: this.next };
  }
}

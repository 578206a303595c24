import type { Role } from '../syntax/role.ts';
import { type LineIndex, lineIndex } from '../text/lines.ts';
import { type Span, span } from '../text/span.ts';

/** A sequence from which a vocabulary is drafted. */
export interface DraftSource {
  /** What it is called in comments of the draft; '' where there is only one. */
  readonly name: string;
  readonly text: string;
  readonly role: Role;
}

/** Where a thing is: which source, and the line in it, counted from 1. */
export interface SourcePlace {
  readonly source: number;
  readonly line: number;
}

/** How often a thing was seen, and where first. */
export interface Seen {
  readonly times: number;
  readonly first: SourcePlace;
}

/** Finds the line of an offset in each source. */
export class Places {
  readonly #lines: readonly LineIndex[];
  readonly #names: readonly string[];

  constructor(sources: readonly DraftSource[]) {
    this.#lines = sources.map(({ text }) => lineIndex(text));
    this.#names = sources.map(({ name }) => name);
  }

  at(source: number, offset: number): SourcePlace {
    return { source, line: (this.#lines[source]?.position(offset).line ?? 0) + 1 };
  }

  /** Where the text of a line begins and ends. */
  row({ source, line }: SourcePlace): Span {
    const lines = this.#lines[source];
    return span(lines?.start(line - 1) ?? 0, lines?.end(line - 1) ?? 0);
  }

  /** `line 12`, with several sources `line 12 of b.start.gcode`. */
  said({ source, line }: SourcePlace): string {
    return this.#names.length < 2 ? `line ${line}` : `line ${line} of ${this.#names[source] ?? ''}`;
  }

  /** How sure a guess is: `seen 4 times, first on line 2`, or `fits line 7, its only place`. */
  sureness({ times, first }: Seen): string {
    return times > 1
      ? `seen ${times === 2 ? 'twice' : `${times} times`}, first on ${this.said(first)}`
      : `fits ${this.said(first)}, the only place`;
  }
}

/** Counts things by what they are called, in the order in which they were seen first. */
export class Tally<T> {
  readonly #all = new Map<string, { times: number; first: SourcePlace; what: T }>();

  add(key: string, what: T, place: SourcePlace): void {
    const one = this.#all.get(key);
    if (one) one.times++;
    else this.#all.set(key, { times: 1, first: place, what });
  }

  get size(): number {
    return this.#all.size;
  }

  /** The first ones first. */
  list(): readonly (Seen & { readonly what: T })[] {
    return [...this.#all.values()];
  }

  of(key: string): Seen | null {
    return this.#all.get(key) ?? null;
  }
}

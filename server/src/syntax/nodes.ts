import type { Span } from '../text/span.ts';
import type { FormSlot, StatementForm, StatementKind } from './tagStyle.ts';

/**
 * The syntax tree of a sequence or program. It is lossless: `tokens` cover every code unit of the text exactly once,
 * in order, and every node carries its span. Parsing never fails; what cannot be read becomes a `Problem`.
 */
export interface Tree {
  readonly text: string;
  /** Every line in order, blank ones included. A line may run over several rows of text where a tag does. */
  readonly lines: readonly Line[];
  /** Lines nested in the sections that enclose them whole. Each line appears exactly once. */
  readonly items: readonly Item[];
  /** Every tag of the text, in order. */
  readonly tags: readonly Tag[];
  readonly sections: readonly Section[];
  readonly tokens: Tokens;
  /** In the order of their places; no more than `MOST_PROBLEMS`. */
  readonly problems: readonly Problem[];
  /**
   * What was not read, since the text is too long: from the beginning of a line to the text's end. Lines, tags and
   * problems stand before it, and one token covers it. null: all was read.
   */
  readonly rest: Span | null;
}

/** Token i covers the text from ends[i-1] (0 for the first) to ends[i]. */
export interface Tokens {
  readonly count: number;
  readonly kinds: Uint8Array;
  readonly ends: Uint32Array;
}

export const TokenKind = {
  space: 0,
  eol: 1,
  comment: 2,
  letter: 3,
  number: 4,
  string: 5,
  tag: 6,
  name: 7,
  equals: 8,
  checksum: 9,
  freeText: 10,
  mark: 11, // byte order mark, or a lone % that opens or closes a text
  stray: 12,
} as const;
export type TokenKind = (typeof TokenKind)[keyof typeof TokenKind];

export type Item = Line | Block;

/**
 * Lines that stand whole inside one section's content, so between its tags: the rows of the opening and closing tag
 * themselves stay outside, and a section within one line makes no block. Nesting may be deep: walk without recursion.
 */
export interface Block {
  readonly type: 'block';
  readonly section: Section;
  readonly items: readonly Item[];
}

export interface Line {
  readonly type: 'line';
  /** Counted from 0, over logical lines. */
  readonly index: number;
  /** Without the end of line. */
  readonly span: Span;
  /** The line's end of line; empty on the last line. */
  readonly eol: Span;
  /** `N120`. */
  readonly number: Word | null;
  readonly commands: readonly Command[];
  readonly comments: readonly Comment[];
  /** `*71`; value null where it is not a whole number. */
  readonly checksum: { readonly span: Span; readonly value: number | null } | null;
}

/**
 * One command with the words that follow it up to the next command on the line. On a line with several commands the
 * words may belong to an earlier one (`G1 G91 X5`): the commands room assigns them, since only it knows who takes what.
 */
export interface Command {
  readonly span: Span;
  /**
   * Normalised: 'G1' (also for g01), 'G92.1', 'M104', 'T' (its number is its T word), or a named command in upper case
   * ('SWEEP-TIP'). '' where a line begins with words only, so that the last motion command holds (`X10 Y5`).
   * null where it is not known: a tag gives it (`G{{a}}`), or it is misspelt and a problem was recorded (`GO`).
   */
  readonly code: string | null;
  /** The code's own span (`G1`, `T0`, `sweep-tip`); empty at the first word for code ''. */
  readonly codeSpan: Span;
  readonly named: boolean;
  readonly words: readonly Word[];
  /** Free text behind a message command, tags included. */
  readonly freeText: Span | null;
  /** The innermost section that encloses the command's code; null at top level. */
  readonly section: Section | null;
}

export interface Word {
  readonly span: Span;
  /** Upper case: 'X', or the key of a named command's word, however it is joined with its value. '' for a bare tag or quoted string that stands as a word. */
  readonly key: string;
  readonly keySpan: Span;
  /** null for a flag (`G28 X`). */
  readonly value: WordValue | null;
  readonly section: Section | null;
}

export type WordValue =
  | { readonly type: 'number'; readonly span: Span; readonly number: number }
  /** A quoted string, bare text behind a key, or numbers with colons between (`420:415`). `text` is without the quotes. */
  | { readonly type: 'string'; readonly span: Span; readonly text: string }
  /** Text and tags that together give the value once filled in: `X{{a}}`, `X-{{a}}`, `S2{{b}}`. */
  | { readonly type: 'filled'; readonly span: Span; readonly parts: readonly (Tag | Span)[] }
  /** Something that is no number: a problem was recorded for it. */
  | { readonly type: 'bad'; readonly span: Span };

export interface Comment {
  readonly span: Span;
  readonly style: 'semicolon' | 'paren';
}

/** One tag (Mustache specification 1.4, or as a vocabulary writes them), with an expression where Mustache has a name. */
export interface Tag {
  readonly type: 'tag';
  /** Of a line statement: from its sign to the end of its row. */
  readonly span: Span;
  /**
   * `value`, `partial`, `escape` and `foreign` give text where they stand; the others only steer. `inverted` is also a
   * section with the keyword `unless`. `raw` parts a stretch that is copied as it is from the text around it. `foreign`:
   * what the language has and nobody here can follow, so that any text may stand there.
   */
  readonly kind:
    | 'value'
    | 'section'
    | 'inverted'
    | 'close'
    | 'comment'
    | 'delimiters'
    | 'partial'
    | 'set'
    | 'escape'
    | 'raw'
    | 'foreign';
  /**
   * What stands between the delimiters, behind the kind mark or keyword, without outer blanks. Of a statement what it
   * takes: the condition, an `each`'s list, the value of a `switch`, `case` or `set`, the name of an `include`.
   */
  readonly inner: Span;
  /** The form of its digits behind the close (`d`, `.2f`), with which the tag ends. Absent: there is none. */
  readonly format?: Span;
  /** What its language's statement does. Absent: no statement, or one that a Mustache mark makes. */
  readonly keyword?: StatementKind;
  /** The form in which the statement is written. */
  readonly form?: StatementForm;
  /** What stands in the form's places: CONDITION, ITEM, INDEX, LIST, NAME, VALUE. */
  readonly slots?: Slots;
  /** Of an escape: the text that is filled in. */
  readonly gives?: string;
  /** Where signs at its ends take white space away: the tag and that white space, rows' ends included. */
  readonly takes?: Span;
  /**
   * False where the closing delimiter is missing; the tag then ends at the end of its row or before the next tag. Also
   * where a statement lacks a part of its form.
   */
  readonly closed: boolean;
}

/** A tag with the white space that it takes away. */
export const extentOf = (tag: Tag): Span => tag.takes ?? tag.span;

export type Slots = { readonly [slot in FormSlot]?: Span };

export interface Section {
  readonly open: Tag;
  /** null where it is never closed; it then holds up to the end of the text, or to where the section around it closes. */
  readonly close: Tag | null;
  readonly inverted: boolean;
  readonly parent: Section | null;
  /** Of a section that goes through a list by a statement: the names that it gives there. null: it does not, or a mark says so. */
  readonly each: Each | null;
  /**
   * The tag of the `switch` whose value this branch compares with its own; null for all others. The `switch` itself is
   * the section around its branches, and is always filled in.
   */
  readonly subject: Tag | null;
  /**
   * Opening tags of the earlier branches of the same if / else-if / else chain: this one is filled in only where none of
   * those is. Empty outside a chain. An else branch is opened by its own tag, which has no condition. The else of a
   * section over a list is filled in where the list is empty.
   */
  readonly unless: readonly Tag[];
  /** The opening tag of the chain's first branch; its own opening tag outside a chain. */
  readonly chain: Tag;
  /** From the start of the opening tag to the end of the closing one, or to where it ends without one. */
  readonly span: Span;
}

/** What a section over a list says. */
export interface Each {
  /** The name of the element in it; null where the form has none. */
  readonly item: Span | null;
  /** The name of the element's index. */
  readonly index: Span | null;
  readonly list: Span;
}

/** What the parser could not read as meant. The rules turn these into findings. */
export interface Problem {
  readonly kind:
    | 'bad-number'
    | 'unclosed-tag'
    | 'half-statement' // a statement that lacks a part of its form
    | 'stray-close' // a closing tag without an opening one
    | 'crossed-sections'
    | 'unclosed-section'
    | 'unclosed-comment'
    | 'nested-comment'
    | 'unclosed-string'
    | 'stray-text';
  readonly span: Span;
  /** Full sentence(s): what, why, what to do. */
  readonly message: string;
  /** Text to put in place of `span`, where there is one clear correction. */
  readonly replacement?: string;
  /** Other places that it has to do with, such as the partner of a tag. */
  readonly related?: readonly Related[];
}

/** Another place, and what it has to do with a problem: a whole sentence. */
export interface Related {
  readonly span: Span;
  readonly message: string;
}

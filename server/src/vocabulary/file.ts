import type { Expr } from '../placeholders/expression.ts';
import type { Grammar } from '../placeholders/grammar.ts';
import type { Name, NameKind } from '../placeholders/vocabulary.ts';
import type { Role } from '../syntax/role.ts';
import type { TagLanguage } from '../syntax/tagStyle.ts';
import type { Span } from '../text/span.ts';

/** One end of a range: a figure, or an expression over the machine's figures. */
export type RangeEnd = number | Expr;

export interface DeclaredRange {
  readonly lo: RangeEnd;
  readonly hi: RangeEnd;
}

/** What an element of a list can be. */
export type ItemKind = Exclude<NameKind, 'list'>;

/** A name as a vocabulary file declares it. What is not stated, or was wrong, is null. */
export interface DeclaredName {
  readonly name: string;
  /** Where it is declared in the file. */
  readonly span: Span;
  /** As stated, or as what it stands for or its choices show. */
  readonly kind: NameKind;
  readonly unit: string | null;
  readonly range: DeclaredRange | null;
  /** A job may give 0 as well, which turns it off. */
  readonly orZero: boolean | null;
  /** Of a list: what each element is, and where it lies. */
  readonly items: ItemKind | null;
  readonly itemRange: DeclaredRange | null;
  /** Of a list: one element for each tool. */
  readonly perTool: boolean;
  readonly choices: readonly string[] | null;
  readonly sample: Name['sample'] | null;
  readonly meaning: string | null;
  /** A built-in name that has the same value. */
  readonly standsFor: string | null;
  readonly roles: readonly Role[] | null;
  readonly atMost: string | null;
  readonly atLeast: string | null;
  /** By how much it lies below `atMost`, or above `atLeast`, at least. */
  readonly atMostBy: number | null;
  readonly atLeastBy: number | null;
  readonly whole: boolean | null;
}

/** A vocabulary file as read: not yet bound to a machine. */
export interface VocabularyFile {
  readonly name: string | null;
  /** The built-in names may be used too. */
  readonly extendsBuiltIn: boolean;
  /** How it writes tags and steers; null: by the marks of the Mustache specification. */
  readonly language: TagLanguage | null;
  /** How it writes expressions; null: as Bookend's own are. */
  readonly grammar: Grammar | null;
  readonly names: readonly DeclaredName[];
}

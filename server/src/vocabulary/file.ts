import type { Expr } from '../placeholders/expression.ts';
import type { Name, NameKind } from '../placeholders/vocabulary.ts';
import type { Role } from '../syntax/role.ts';
import type { Span } from '../text/span.ts';

/** One end of a range: a figure, or an expression over the machine's figures. */
export type RangeEnd = number | Expr;

/** A name as a vocabulary file declares it. What is not stated, or was wrong, is null. */
export interface DeclaredName {
  readonly name: string;
  /** Where it is declared in the file. */
  readonly span: Span;
  /** As stated, or as what it stands for or its choices show. */
  readonly kind: NameKind;
  readonly unit: string | null;
  readonly range: { readonly lo: RangeEnd; readonly hi: RangeEnd } | null;
  readonly choices: readonly string[] | null;
  readonly sample: Name['sample'] | null;
  readonly meaning: string | null;
  /** A built-in name that has the same value. */
  readonly standsFor: string | null;
  readonly roles: readonly Role[] | null;
  readonly atMost: string | null;
  readonly atLeast: string | null;
  readonly whole: boolean | null;
}

/** How tags are written, of what the file says about them all that can be used together. */
export interface DeclaredTags {
  readonly delimiters: readonly (readonly [string, string])[];
  readonly keywords: { readonly [is in 'if' | 'elseIf' | 'else' | 'end']?: string } | null;
}

/** A vocabulary file as read: not yet bound to a machine. */
export interface VocabularyFile extends DeclaredTags {
  readonly name: string | null;
  /** The built-in names may be used too. */
  readonly extendsBuiltIn: boolean;
  readonly names: readonly DeclaredName[];
}

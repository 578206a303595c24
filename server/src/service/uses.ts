import type { Machine } from '../machine/machine.ts';
import { scopesOf } from '../placeholders/elements.ts';
import { type Expr, namesIn, parseExpression } from '../placeholders/expression.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import type { View } from '../rules/rule.ts';
import type { Tag } from '../syntax/nodes.ts';
import type { Role } from '../syntax/role.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import { type Span, slice, touches } from '../text/span.ts';
import { budgetOf, preparing } from './analyze.ts';

/** A text as far as its placeholder names go: no run, no rules. */
export type NamedText = Pick<View, 'tree' | 'expressions' | 'scopes' | 'vocabulary'>;

/** One place where a placeholder name stands. */
export interface NameUse {
  readonly span: Span;
  /** The name in the vocabulary and in a job: `tools[].number` for an element's `number`; as written where it is unknown. */
  readonly key: string;
  /** The tag by whose place the name is understood. */
  readonly tag: Tag;
}

/** Reads a text just for its names: much cheaper than an analysis. */
export const readNamedText = (text: string, role: Role, machine: Machine | null, vocabulary: Vocabulary): NamedText =>
  finish(readingNamedText(text, role, machine, vocabulary));

/** The same in pieces. */
export function* readingNamedText(
  text: string,
  role: Role,
  machine: Machine | null,
  vocabulary: Vocabulary,
): Pieces<NamedText> {
  const { tree, expressions } = yield* preparing(
    text,
    role,
    machine,
    tagStyleOf(vocabulary),
    budgetOf(role),
    languageFor(vocabulary),
  );
  return { tree, expressions, scopes: scopesOf(tree, expressions, vocabulary), vocabulary };
}

/** Every placeholder name of a text, in order. Closing tags that repeat their section's expression count too. */
export function usesOf({ tree, expressions, scopes, vocabulary }: NamedText): NameUse[] {
  const uses: NameUse[] = [];
  const add = (expr: Expr, tag: Tag): void => {
    for (const { name, span } of namesIn(expr))
      if (name !== '.') uses.push({ span, key: scopes.find(tag, name)?.key ?? name, tag });
  };
  for (const [tag, { expr, sets }] of expressions) {
    if (expr) add(expr, tag);
    const place = sets === undefined ? undefined : tag.slots?.NAME;
    // A sign in front of the name is no part of it.
    if (sets !== undefined && place && tree.text.endsWith(sets, place.end))
      uses.push({ span: { start: place.end - sets.length, end: place.end }, key: sets, tag });
  }
  const language = languageFor(vocabulary);
  for (const { open, close } of tree.sections) {
    if (close?.kind !== 'close' || close.inner.start === close.inner.end) continue;
    const { expr } = parseExpression(slice(tree.text, close.inner), close.inner.start, language);
    if (expr) add(expr, open);
  }
  return uses.sort((a, b) => a.span.start - b.span.start);
}

/** The name at an offset; a cursor right behind it still belongs to it. */
export const useAt = (text: NamedText, offset: number): NameUse | null =>
  usesOf(text).find(({ span }) => touches(span, offset)) ?? null;

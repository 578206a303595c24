import type { Section, Tag, Tree, WordValue } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import { exact, type Known, negate } from './bounds.ts';
import { asNumber, evaluate, render, truth } from './evaluate.ts';
import { type ParsedExpression, parseExpression } from './expression.ts';
import type { Env, Value } from './value.ts';

/** The parsed expression of every value and section tag of a tree. Tags of other kinds are absent. */
export type Expressions = ReadonlyMap<Tag, ParsedExpression>;

/** Parses all tags' expressions once. */
export function readExpressions(tree: Tree): Expressions {
  const parsed = new Map<Tag, ParsedExpression>();
  for (const tag of tree.tags) {
    if (!tag.closed || (tag.kind !== 'value' && tag.kind !== 'section' && tag.kind !== 'inverted')) continue;
    parsed.set(tag, parseExpression(slice(tree.text, tag.inner), tag.inner.start));
  }
  return parsed;
}

/** What a tag stands for; unknown where its expression could not be read. */
export function tagValue(tag: Tag, expressions: Expressions, env: Env): Value {
  const expr = expressions.get(tag)?.expr;
  return expr ? evaluate(expr, env) : { type: 'unknown' };
}

/**
 * The number that a word's value becomes. A sign before a lone tag counts; other mixtures of text and tags
 * (`S2{{n}}`) are joined as text and so known only where every tag is exact.
 */
export function wordNumber(value: WordValue, text: string, expressions: Expressions, env: Env): Known {
  if (value.type === 'number') return exact(value.number);
  if (value.type !== 'filled') return null;
  const parts = value.parts;
  const last = parts[parts.length - 1];
  if (last && 'type' in last) {
    if (parts.length === 1) return asNumber(tagValue(last, expressions, env));
    const first = parts[0];
    if (parts.length === 2 && first && !('type' in first)) {
      const sign = slice(text, first).trim();
      const number = asNumber(tagValue(last, expressions, env));
      // A second sign in front of a negative number would not be read by the machine.
      if (sign === '-') return number && number.lo >= 0 ? negate(number) : null;
      if (sign === '+') return number && number.lo >= 0 ? number : null;
    }
  }
  let joined = '';
  for (const part of parts) {
    const piece = 'type' in part ? render(tagValue(part, expressions, env)) : slice(text, part);
    if (piece === null) return null;
    joined += piece;
  }
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(joined.trim()) ? exact(Number(joined)) : null;
}

/** How often a section's body is filled in: [0,0] never, [1,1] once, lists as often as they are long. */
export function repetitions(
  section: Section,
  expressions: Expressions,
  env: Env,
): { readonly lo: number; readonly hi: number } {
  const value = tagValue(section.open, expressions, env);
  const once = truthBounds(value);
  if (section.inverted) return { lo: once.hi === 0 ? 1 : 0, hi: once.lo > 0 ? 0 : 1 };
  return value.type === 'list' ? value.length : once;
}

function truthBounds(value: Value): { lo: number; hi: number } {
  const is = truth(value);
  return { lo: is === true ? 1 : 0, hi: is === false ? 0 : 1 };
}

import { LENT } from '../placeholders/expr.ts';
import { FUNCTIONS, parseExpression } from '../placeholders/expression.ts';
import type { Grammar } from '../placeholders/grammar.ts';
import { languageOf } from '../placeholders/language.ts';
import type { ExpressionSource, WrittenForms, WrittenFunction } from './written.ts';

/** Names under which general languages have our functions, and what is lent to other languages. */
const ALIKE: Readonly<Record<string, string>> = {
  ...{
    ceiling: 'ceil',
    minimum: 'min',
    maximum: 'max',
    smallest: 'min',
    largest: 'max',
    tofixed: 'fixed',
    int: 'trunc',
  },
  ...{ size: 'length', len: 'length', count: 'length', upcase: 'upper', touppercase: 'upper', downcase: 'lower' },
  ...{ tolowercase: 'lower', truncate: 'trunc' },
};

/** Functions under the name of what holds them: `Math.max(`. */
const HELD = /(?<![\p{L}\p{N}_.$])(\p{Lu}[\p{L}\p{N}_]*\.[\p{L}_][\p{L}\p{N}_]*)\s*\(/gu;

/** Functions whose names have a dot in them, which would else be a value and its method. */
export function heldFunctions(sources: readonly Pick<ExpressionSource, 'text' | 'is'>[]): WrittenForms['functions'] {
  const found = sources.flatMap(({ text, is }) =>
    [...text.matchAll(HELD)].map(([, name = '']) => [name, meantBy(name, text, is)] as const),
  );
  return Object.fromEntries(found);
}

/**
 * The functions that the sources call and our own language does not have by that name: ours where the name says so, else
 * what their place tells of the result. All that are called are listed, since a list leaves out the usual ones.
 */
export function functionsOf(
  written: WrittenForms,
  grammar: Grammar,
  sources: readonly ExpressionSource[],
  declared: readonly string[],
): WrittenForms['functions'] {
  const language = languageOf(grammar, declared);
  const found = new Map<string, WrittenFunction>(Object.entries(written.functions));
  for (const { text, is } of sources)
    for (const one of parseExpression(text, 0, language).unfollowed ?? [])
      if (one.is === 'function' && !found.has(one.written)) found.set(one.written, meantBy(one.written, text, is));
  if (found.size === 0) return {};
  for (const name of Object.keys(FUNCTIONS))
    if (
      !found.has(name) &&
      sources.some(({ text }) => new RegExp(`(?<![\\p{L}\\p{N}_.])${name}(?![\\p{L}\\p{N}_])`, 'u').test(text))
    )
      found.set(name, name);
  return Object.fromEntries(found);
}

function meantBy(name: string, source: string, is: ExpressionSource['is']): WrittenFunction {
  const bare = name.replace(/^.*[.:]/, '').toLowerCase();
  const ours = ALIKE[bare] ?? bare;
  if (Object.hasOwn(FUNCTIONS, ours) || Object.hasOwn(LENT, ours)) return ours;
  if (is === 'condition' && source.trim().startsWith(name)) return { gives: 'flag' };
  return { gives: /["'`]/.test(source) ? 'text' : 'number' };
}

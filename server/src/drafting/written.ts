import type { Operation } from '../placeholders/grammar.ts';
import type { SourcePlace } from './evidence.ts';

/** How expressions are written, as the `expressions` part of a vocabulary file says it; what is empty is left out. */
export interface WrittenForms {
  readonly operators: { readonly [does in Operation]?: readonly string[] };
  readonly choice: readonly string[];
  readonly true: readonly string[];
  readonly false: readonly string[];
  readonly nothing: readonly string[];
  readonly quotes: readonly string[];
  readonly marks: readonly string[];
  readonly letters: string;
  readonly calls: readonly string[];
  readonly formats: readonly string[];
  readonly formatsBehind: readonly string[];
  /** Names that mean something in every loop. */
  readonly loops: { readonly [is in LoopWord]?: readonly string[] };
  readonly functions: Readonly<Record<string, WrittenFunction>>;
}
export type LoopWord = 'item' | 'indexFrom0' | 'indexFrom1' | 'isFirst' | 'isLast';
export type WrittenFunction = string | { readonly gives: 'number' | 'text' | 'flag' };

export const NOTHING_WRITTEN: WrittenForms = {
  operators: {},
  choice: [],
  true: [],
  false: [],
  nothing: [],
  quotes: [],
  marks: [],
  letters: '',
  calls: [],
  formats: [],
  formatsBehind: [],
  loops: {},
  functions: {},
};

/** An expression of a source, and where it stands. */
export interface ExpressionSource {
  readonly text: string;
  /** A value is written out, a condition decides, a list is gone through. */
  readonly is: 'value' | 'condition' | 'list';
  readonly place: SourcePlace;
}

const orOne = (list: readonly string[]): string | readonly string[] => (list.length === 1 ? (list[0] ?? '') : list);

/** The `expressions` of the vocabulary file; null where there is nothing to say. */
export function expressionsPart(
  { operators, choice, marks, letters, functions, ...w }: WrittenForms,
  firstIndex: 0 | 1 | null,
): Readonly<Record<string, unknown>> | null {
  const part: Record<string, unknown> = {};
  const signs = Object.entries(operators).filter(([, list]) => list.length > 0);
  if (signs.length > 0) part.operators = Object.fromEntries(signs.map(([does, list]) => [does, orOne(list)]));
  if (choice.length > 0) part.choice = orOne(choice);
  for (const word of ['true', 'false', 'nothing'] as const) if (w[word].length > 0) part[word] = orOne(w[word]);
  if (w.quotes.length > 0) part.quotes = w.quotes;
  if (marks.length > 0 || letters !== '')
    part.names = { ...(marks.length > 0 ? { marks } : {}), ...(letters === '' ? {} : { letters }) };
  if (w.calls.length > 0) part.calls = w.calls;
  if (Object.keys(functions).length > 0) part.functions = functions;
  if (w.formats.length > 0) part.formats = w.formats;
  if (w.formatsBehind.length > 0) part.formatsBehind = w.formatsBehind;
  const loops = Object.entries(w.loops).filter(([, words]) => words.length > 0);
  if (loops.length > 0) part.loops = Object.fromEntries(loops.map(([is, words]) => [is, orOne(words)]));
  if (firstIndex !== null) part.firstIndex = firstIndex;
  return Object.keys(part).length > 0 ? part : null;
}

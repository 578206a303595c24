import { isFilament, isTemperature } from '../commands/quantity.ts';
import { findRecordWord, type WordRecord } from '../commands/record.ts';
import type { Expr } from '../placeholders/expression.ts';
import { lineAt } from '../syntax/at.ts';
import type { Line, Tag, Word } from '../syntax/nodes.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { children } from './tagFacts.ts';

/** Types as the Language Server Protocol 3.17 has them; a token names its index. */
export const TOKEN_TYPES = ['keyword', 'function', 'parameter', 'number', 'variable', 'string'] as const;

/** What a word is about (our own, declared in package.json), and what comes from the machine or from Bookend. */
export const TOKEN_MODIFIERS = ['coordinate', 'temperature', 'feed', 'extrusion', 'defaultLibrary'] as const;

export type TokenType = (typeof TOKEN_TYPES)[number];
export type TokenModifier = (typeof TOKEN_MODIFIERS)[number];

/** A stretch of text and what it is by its meaning, which the grammar cannot know. Never empty. */
export interface Token {
  readonly span: Span;
  readonly type: TokenType;
  readonly modifier: TokenModifier | null;
}

/**
 * Known commands, their words by what they are about, and the names, functions and values in tags. In the order of the
 * text, none overlapping. Comments, messages and what is unknown are left to the grammar.
 * @param within Only the lines that this stretch touches; default: all.
 */
export const semanticTokens = (a: Analysis, within?: Span): Token[] => finish(findingTokens(a, within));

/** The same in pieces. */
export function* findingTokens(a: Analysis, within: Span = { start: 0, end: a.tree.text.length }): Pieces<Token[]> {
  const pace = new Pace();
  const { lines, tags } = a.tree;
  const tokens: Token[] = [];
  const first = lineAt(a.tree, within.start);
  const last = lineAt(a.tree, within.end);
  for (let i = first.index; i <= last.index; i++) {
    const line = lines[i] as Line;
    addLine(a, tokens, line);
    if (pace.due(1 + line.commands.length)) yield;
  }
  for (const tag of tags) {
    if (tag.span.end > first.span.start && tag.span.start < last.span.end) addTag(a, tokens, tag);
    if (pace.due()) yield;
  }
  tokens.sort((one, other) => one.span.start - other.span.start);
  let end = 0;
  return tokens.filter(({ span }) => {
    const fits = span.start >= end && span.end > span.start;
    if (fits) end = span.end;
    return fits;
  });
}

function addLine(a: Analysis, tokens: Token[], line: Line): void {
  for (const { node, code, record, words } of a.bound.on(line)) {
    if (!record) continue;
    // Words that were split off from a command stand under a code of their own, which is written nowhere.
    const { start, end } = node.codeSpan;
    if (code === node.code && end > start) {
      // The number of `T0` belongs to the code; a tag in its place (`T{{ tool.number }}`) speaks for itself.
      const number = node.words[0];
      const isFilled = number?.span.start === start && number.value?.type === 'filled';
      const span = isFilled ? number.keySpan : node.codeSpan;
      tokens.push({ span, type: node.named ? 'function' : 'keyword', modifier: null });
    }
    for (const word of words) {
      const known = findRecordWord(record, word.key);
      if (known && word.key !== '' && word.span.start >= (code === node.code ? end : 0)) addWord(tokens, word, known);
    }
  }
}

function addWord(tokens: Token[], { keySpan, value }: Word, record: WordRecord): void {
  const modifier = aboutOf(record);
  tokens.push({ span: keySpan, type: 'parameter', modifier });
  if (value?.type === 'number') tokens.push({ span: value.span, type: 'number', modifier });
  if (value?.type !== 'filled' || record.text) return;
  for (const part of value.parts) if (!('type' in part)) tokens.push({ span: part, type: 'number', modifier });
}

function aboutOf({ unit, quantity }: WordRecord): TokenModifier | null {
  if (isTemperature(quantity)) return 'temperature';
  if (quantity === 'feed' || quantity === 'speed') return 'feed';
  if (quantity === 'volume') return 'extrusion';
  // The unit that follows inches is that of places; of E it is filament.
  if (isFilament(quantity)) return quantity === 'filament speed' ? null : 'extrusion';
  return unit === 'length' ? 'coordinate' : null;
}

function addTag(a: Analysis, tokens: Token[], tag: Tag): void {
  const expr = a.expressions.get(tag)?.expr;
  if (expr) addExpr(a, tokens, tag, expr);
}

function addExpr(a: Analysis, tokens: Token[], tag: Tag, expr: Expr): void {
  const { span } = expr;
  if (expr.type === 'name') {
    const name = expr.name === '.' ? null : a.scopes.find(tag, expr.name)?.name;
    if (name && !name.hidden)
      tokens.push({ span, type: 'variable', modifier: name.fromMachine ? 'defaultLibrary' : null });
  } else if (expr.type === 'number') tokens.push({ span, type: 'number', modifier: null });
  else if (expr.type === 'text') tokens.push({ span, type: 'string', modifier: null });
  else if ((expr.type === 'call' || expr.type === 'foreign') && expr.fn)
    tokens.push({ span: expr.fn, type: 'function', modifier: expr.type === 'call' ? 'defaultLibrary' : null });
  for (const child of children(expr)) addExpr(a, tokens, tag, child);
}

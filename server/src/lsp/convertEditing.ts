import {
  type DocumentHighlight,
  DocumentHighlightKind,
  type FoldingRange,
  FoldingRangeKind,
  type SelectionRange,
  type SemanticTokens,
  type SemanticTokensLegend,
  type TextEdit,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import type { Folding } from '../service/folding.ts';
import { TOKEN_MODIFIERS, TOKEN_TYPES, type Token } from '../service/semanticTokens.ts';
import type { Edit } from '../text/edit.ts';
import { Pace, type Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import { toRange } from './convert.ts';

// What `convert.ts` is for findings and pages, for the requests about the text itself.

/** What the numbers of a semantic token stand for. */
export const TOKEN_LEGEND: SemanticTokensLegend = {
  tokenTypes: [...TOKEN_TYPES],
  tokenModifiers: [...TOKEN_MODIFIERS],
};

/** Five numbers a token, each place relative to the one before (Language Server Protocol 3.17, "Semantic Tokens"). */
export function* toSemanticTokens(document: TextDocument, tokens: readonly Token[]): Pieces<SemanticTokens> {
  const pace = new Pace();
  const data: number[] = [];
  // Tokens come in order, so rows are walked through rather than looked up: there may be a hundred thousand.
  let line = 0;
  let start = 0;
  let next = rowAt(document, 1);
  let last = { line: 0, character: 0 };
  for (const { span, type, modifier } of tokens) {
    if (pace.due()) yield;
    if (span.start >= next) {
      line = document.positionAt(span.start).line;
      start = rowAt(document, line);
      next = rowAt(document, line + 1);
    }
    // A token stands on one row; names in a tag may be broken over two.
    if (span.end > next) continue;
    const character = span.start - start;
    const down = line - last.line;
    const right = down === 0 ? character - last.character : character;
    const bits = modifier === null ? 0 : 1 << TOKEN_MODIFIERS.indexOf(modifier);
    data.push(down, right, span.end - span.start, TOKEN_TYPES.indexOf(type), bits);
    last = { line, character };
  }
  return { data };
}

/** Where a row begins; beyond the text behind its last one. */
const rowAt = (document: TextDocument, line: number): number =>
  line < document.lineCount ? document.offsetAt({ line, character: 0 }) : Number.POSITIVE_INFINITY;

export const toFoldingRange = ({ first, last, kind }: Folding): FoldingRange => ({
  startLine: first,
  endLine: last,
  kind: kind === 'comment' ? FoldingRangeKind.Comment : FoldingRangeKind.Region,
});

/** @param chain What the selection grows to, smallest first; at least one. */
export function toSelectionRange(document: TextDocument, chain: readonly Span[]): SelectionRange {
  let outer: SelectionRange | undefined;
  for (let i = chain.length - 1; i >= 0; i--) {
    const range = toRange(document, chain[i] as Span);
    outer = outer ? { range, parent: outer } : { range };
  }
  return outer ?? { range: toRange(document, { start: 0, end: 0 }) };
}

export const toTextEdit = (document: TextDocument, { span, text }: Edit): TextEdit => ({
  range: toRange(document, span),
  newText: text,
});

export const toHighlight = (document: TextDocument, span: Span): DocumentHighlight => ({
  range: toRange(document, span),
  kind: DocumentHighlightKind.Text,
});

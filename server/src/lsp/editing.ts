import type {
  DocumentFormattingParams,
  DocumentRangeFormattingParams,
  FoldingRange,
  FoldingRangeParams,
  Range,
  SelectionRange,
  SelectionRangeParams,
  SemanticTokens,
  SemanticTokensParams,
  SemanticTokensRangeParams,
  TextEdit,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { foldings } from '../service/folding.ts';
import { formatting as formattingText } from '../service/format.ts';
import { selections } from '../service/selection.ts';
import { findingTokens } from '../service/semanticTokens.ts';
import type { Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import { toFoldingRange, toSelectionRange, toSemanticTokens, toTextEdit } from './convertEditing.ts';
import type { Analysis } from './engine.ts';
import type { RequestContext } from './requestContext.ts';

// Requests about the text itself: its colours, folds and selections, and how it is written.

export const semantic = (context: RequestContext, params: SemanticTokensParams): Promise<SemanticTokens> =>
  read(context, params, { data: [] }, (a, document) => tokensOf(a, document));

export const semanticRange = (context: RequestContext, params: SemanticTokensRangeParams): Promise<SemanticTokens> =>
  read(context, params, { data: [] }, (a, document) => tokensOf(a, document, spanOf(document, params.range)));

function* tokensOf(a: Analysis, document: TextDocument, within?: Span): Pieces<SemanticTokens> {
  return yield* toSemanticTokens(document, yield* findingTokens(a, within));
}

export const folding = (context: RequestContext, params: FoldingRangeParams): Promise<FoldingRange[]> =>
  read(context, params, [], function* (a) {
    yield;
    return foldings(a).map(toFoldingRange);
  });

export const selection = (context: RequestContext, params: SelectionRangeParams): Promise<SelectionRange[] | null> =>
  read(context, params, null, function* (a, document) {
    yield;
    const offsets = params.positions.map((position) => document.offsetAt(position));
    return selections(a, offsets).map((chain) => toSelectionRange(document, chain));
  });

export const formatting = (context: RequestContext, params: DocumentFormattingParams): Promise<TextEdit[] | null> =>
  read(context, params, null, (a, document) => editsOf(a, document));

export const rangeFormatting = (
  context: RequestContext,
  params: DocumentRangeFormattingParams,
): Promise<TextEdit[] | null> =>
  read(context, params, null, (a, document) => editsOf(a, document, spanOf(document, params.range)));

function* editsOf(a: Analysis, document: TextDocument, within?: Span): Pieces<TextEdit[]> {
  const edits = yield* formattingText(a, within);
  yield;
  return edits.map((edit) => toTextEdit(document, edit));
}

const spanOf = (document: TextDocument, { start, end }: Range): Span => ({
  start: document.offsetAt(start),
  end: document.offsetAt(end),
});

/** Answers from the document's analysis, as long as the text is still the one that was analysed. */
async function read<R>(
  { session, work }: RequestContext,
  { textDocument }: { readonly textDocument: { readonly uri: string } },
  empty: R,
  answer: (analysis: Analysis, document: TextDocument) => Pieces<R>,
): Promise<R> {
  const checked = await session.check(textDocument.uri);
  if (!checked?.analysis || checked.document.version !== checked.version) return empty;
  return work(answer(checked.analysis, checked.document));
}

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
import { format } from '../service/format.ts';
import { selections } from '../service/selection.ts';
import { semanticTokens } from '../service/semanticTokens.ts';
import type { Span } from '../text/span.ts';
import { toFoldingRange, toSelectionRange, toSemanticTokens, toTextEdit } from './convertEditing.ts';
import type { Analysis } from './engine.ts';
import type { Context } from './features.ts';

// Requests about the text itself: its colours, folds and selections, and how it is written.

export const semantic = (context: Context, params: SemanticTokensParams): Promise<SemanticTokens> =>
  read(context, params, { data: [] }, (a, document) => toSemanticTokens(document, semanticTokens(a)));

export const semanticRange = (context: Context, params: SemanticTokensRangeParams): Promise<SemanticTokens> =>
  read(context, params, { data: [] }, (a, document) =>
    toSemanticTokens(document, semanticTokens(a, spanOf(document, params.range))),
  );

export const folding = (context: Context, params: FoldingRangeParams): Promise<FoldingRange[]> =>
  read(context, params, [], (a) => foldings(a).map(toFoldingRange));

export const selection = (context: Context, params: SelectionRangeParams): Promise<SelectionRange[] | null> =>
  read(context, params, null, (a, document) => {
    const offsets = params.positions.map((position) => document.offsetAt(position));
    return selections(a, offsets).map((chain) => toSelectionRange(document, chain));
  });

export const formatting = (context: Context, params: DocumentFormattingParams): Promise<TextEdit[] | null> =>
  read(context, params, null, (a, document) => format(a).map((edit) => toTextEdit(document, edit)));

export const rangeFormatting = (context: Context, params: DocumentRangeFormattingParams): Promise<TextEdit[] | null> =>
  read(context, params, null, (a, document) =>
    format(a, spanOf(document, params.range)).map((edit) => toTextEdit(document, edit)),
  );

const spanOf = (document: TextDocument, { start, end }: Range): Span => ({
  start: document.offsetAt(start),
  end: document.offsetAt(end),
});

/** Answers from the document's analysis, as long as the text is still the one that was analysed. */
async function read<R>(
  { session }: Context,
  { textDocument }: { readonly textDocument: { readonly uri: string } },
  empty: R,
  answer: (analysis: Analysis, document: TextDocument) => R,
): Promise<R> {
  const checked = await session.check(textDocument.uri);
  if (!checked?.analysis || checked.document.version !== checked.version) return empty;
  return answer(checked.analysis, checked.document);
}

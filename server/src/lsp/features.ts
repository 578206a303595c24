import {
  CodeActionRequest,
  CodeActionResolveRequest,
  type CompletionItem,
  CompletionRequest,
  CompletionResolveRequest,
  DefinitionRequest,
  DocumentDiagnosticReportKind,
  DocumentDiagnosticRequest,
  DocumentFormattingRequest,
  DocumentHighlightRequest,
  DocumentRangeFormattingRequest,
  DocumentSymbolRequest,
  FoldingRangeRequest,
  HoverRequest,
  type Position,
  PrepareRenameRequest,
  ReferencesRequest,
  RenameRequest,
  SelectionRangeRequest,
  SemanticTokensRangeRequest,
  SemanticTokensRequest,
  SignatureHelpRequest,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { askAgain, Urgency } from './asked.ts';
import { codeActions, resolveCodeAction } from './codeActions.ts';
import { flatSymbols, toCompletionItem, toDiagnostics, toHover, toSignatureHelp, toSymbol } from './convert.ts';
import { folding, formatting, rangeFormatting, selection, semantic, semanticRange } from './editing.ts';
import type { Analysis } from './engine.ts';
import {
  DRAFT_PLACEHOLDERS,
  type DraftParams,
  FILL,
  type FillParams,
  type FillResult,
  MACHINES,
  type MachinesParams,
} from './messages.ts';
import { definition, highlights, prepareRename, references, rename } from './names.ts';
import type { RequestContext } from './requestContext.ts';
import type { OwnSession } from './session.ts';
import { isRecord } from './settings.ts';

/** One row of the table: a request, its answer, and what is answered where nothing can be said. */
export interface Feature {
  readonly method: string;
  readonly empty: unknown;
  readonly urgency: Urgency;
  /** What is answered where the text has changed before there was an answer; absent: the protocol's `ContentModified`. */
  readonly outdated?: () => unknown;
  answer(context: RequestContext, params: unknown): Promise<unknown>;
}

interface InDocument {
  readonly textDocument: { readonly uri: string };
}
interface AtPosition extends InDocument {
  readonly position: Position;
}

/** Where an item was offered, so that its page can be found again. */
interface PageRequest {
  readonly uri: string;
  readonly position: Position;
}

/** A list of all commands with their pages is some 150 KB; without them the list is there at once. */
function withoutPage({ documentation: _, ...item }: CompletionItem, uri: string, position: Position): CompletionItem {
  const data: PageRequest = { uri, position };
  return { ...item, data };
}

const NO_FINDINGS = { kind: DocumentDiagnosticReportKind.Full, items: [] };

/** Which request is answered by which service. */
export const FEATURES: readonly Feature[] = [
  feature(
    DocumentDiagnosticRequest.method,
    NO_FINDINGS,
    Urgency.Typing,
    async ({ session, docs }, { textDocument }: InDocument) => {
      const checked = await session.check(textDocument.uri);
      if (!checked) return NO_FINDINGS;
      return { ...NO_FINDINGS, items: toDiagnostics(checked.document, checked.told, docs) };
    },
    askAgain,
  ),

  feature(HoverRequest.method, null, Urgency.Cursor, ({ session }, { textDocument, position }: AtPosition) =>
    read(session, textDocument.uri, null, (analysis, document) => {
      const found = session.engine.hover(analysis, document.offsetAt(position));
      return found && toHover(document, found);
    }),
  ),

  feature(
    CompletionRequest.method,
    [],
    Urgency.Cursor,
    ({ session, abilities }, { textDocument, position }: AtPosition) =>
      read(session, textDocument.uri, [], (analysis, document) => {
        const { items } = session.engine.complete(analysis, document.offsetAt(position));
        const whole = items.map((item) => toCompletionItem(document, item));
        return abilities.lateDocumentation ? whole.map((item) => withoutPage(item, textDocument.uri, position)) : whole;
      }),
    // An editor goes on with what has been typed since, and asks again.
    () => ({ isIncomplete: true, items: [] }),
  ),

  feature(CompletionResolveRequest.method, null, Urgency.Cursor, async ({ session }, item: CompletionItem) => {
    const asked = item.data as PageRequest | undefined;
    if (!asked) return item;
    const { uri, position } = asked;
    return read(session, uri, item, (analysis, document) => {
      const { items } = session.engine.complete(analysis, document.offsetAt(position));
      const found = items.find(({ label }) => label === item.label);
      return found ? { ...item, documentation: toCompletionItem(document, found).documentation } : item;
    });
  }),

  feature(DocumentSymbolRequest.method, [], Urgency.Later, ({ session, abilities }, { textDocument }: InDocument) =>
    read(session, textDocument.uri, [], (analysis, document) => {
      const nested = session.engine.symbols(analysis).map((symbol) => toSymbol(document, symbol));
      return abilities.nestedSymbols ? nested : flatSymbols(document.uri, nested);
    }),
  ),

  feature(CodeActionRequest.method, [], Urgency.Later, codeActions),
  feature(CodeActionResolveRequest.method, null, Urgency.Cursor, resolveCodeAction),
  feature(DefinitionRequest.method, null, Urgency.Cursor, definition),
  feature(DocumentHighlightRequest.method, [], Urgency.Later, highlights),
  feature(ReferencesRequest.method, [], Urgency.Later, references),
  feature(PrepareRenameRequest.method, null, Urgency.Cursor, prepareRename),
  feature(RenameRequest.method, null, Urgency.Later, rename),

  feature(SignatureHelpRequest.method, null, Urgency.Cursor, ({ session }, { textDocument, position }: AtPosition) =>
    read(session, textDocument.uri, null, (analysis, document) => {
      const found = session.engine.signatureHelp(analysis, document.offsetAt(position));
      return found && toSignatureHelp(found);
    }),
  ),

  feature(SemanticTokensRequest.method, { data: [] }, Urgency.Later, semantic),
  feature(SemanticTokensRangeRequest.method, { data: [] }, Urgency.Later, semanticRange),
  feature(FoldingRangeRequest.method, [], Urgency.Later, folding),
  feature(SelectionRangeRequest.method, null, Urgency.Cursor, selection),
  feature(DocumentFormattingRequest.method, null, Urgency.Cursor, formatting),
  feature(DocumentRangeFormattingRequest.method, null, Urgency.Cursor, rangeFormatting),

  feature(DRAFT_PLACEHOLDERS, null, Urgency.Later, async ({ session, work }, { uri }: DraftParams) => {
    const analysis = (await session.check(uri))?.analysis;
    if (!analysis) return null;
    const { tree, role, machine } = analysis;
    return (await work(session.engine.draftVocabulary(tree.text, role, machine))).text;
  }),

  feature(
    FILL,
    null,
    Urgency.Later,
    async ({ session, work }, { uri, job }: FillParams): Promise<FillResult | null> => {
      const checked = await session.check(uri);
      if (!checked?.analysis) return null;
      const { document, analysis, version } = checked;
      const { text, rows, problems } = await work(session.engine.fillIn(analysis, isRecord(job) ? job : {}));
      const places = problems.map(({ span, message }) => ({ message, ...document.positionAt(span.start) }));
      return { text, version, rows, problems: places };
    },
  ),

  feature(MACHINES, null, Urgency.Later, ({ session }, { uri }: MachinesParams) => session.status(uri)),
];

/** Types one row; the table itself holds rows of different requests. */
function feature<P>(
  method: string,
  empty: unknown,
  urgency: Urgency,
  answer: (context: RequestContext, params: P) => Promise<unknown>,
  outdated?: () => unknown,
): Feature {
  const row = {
    method,
    empty,
    urgency,
    answer: (context: RequestContext, params: unknown) => answer(context, params as P),
  };
  return outdated ? { ...row, outdated } : row;
}

/** Answers from the document's analysis, or with `empty` where it has none. */
async function read<R>(
  session: OwnSession,
  uri: string,
  empty: R,
  answer: (analysis: Analysis, document: TextDocument) => R,
): Promise<R> {
  const checked = await session.check(uri);
  return checked?.analysis ? answer(checked.analysis, checked.document) : empty;
}

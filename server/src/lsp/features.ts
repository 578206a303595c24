import {
  CodeActionKind,
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
import { analyzedNow } from './analyzed.ts';
import { askAgain, Urgency } from './asked.ts';
import { codeActions, FIX_ALL, resolveCodeAction } from './codeActions.ts';
import { flatSymbols, toCompletionItem, toDiagnostics, toHover, toSignatureHelp, toSymbol } from './convert.ts';
import { TOKEN_LEGEND } from './convertEditing.ts';
import { draftPlaceholders } from './draft.ts';
import { folding, formatting, rangeFormatting, selection, semantic, semanticRange } from './editing.ts';
import type { Analysis } from './engine.ts';
import { type Feature, feature } from './feature.ts';
import { JSON_TRIGGERS } from './jsonAccess.ts';
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
import type { OwnSession } from './session.ts';
import { isRecord } from './settings.ts';
import { anything, list, nullable, object, record, text, uri } from './shape.ts';
import { at, inDocument, inRange, position, range } from './shapeParts.ts';

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

/** Which request is answered by which service, and how clients learn of it. */
export const FEATURES: readonly Feature[] = [
  feature(
    DocumentDiagnosticRequest.method,
    inDocument,
    NO_FINDINGS,
    Urgency.Typing,
    async ({ session, docs }, { textDocument }: InDocument) => {
      const checked = await session.check(textDocument.uri);
      if (!checked) return NO_FINDINGS;
      return { ...NO_FINDINGS, items: toDiagnostics(checked.document, checked.told, docs) };
    },
    {
      offer: ({ pull }) =>
        pull ? { diagnosticProvider: { interFileDependencies: true, workspaceDiagnostics: false } } : {},
      outdated: askAgain,
    },
  ),

  feature(
    HoverRequest.method,
    at,
    null,
    Urgency.Cursor,
    ({ session }, { textDocument, position }: AtPosition) =>
      read(session, textDocument.uri, null, (analysis, document) => {
        const found = session.engine.hover(analysis, document.offsetAt(position));
        return found && toHover(document, found);
      }),
    { offer: () => ({ hoverProvider: true }) },
  ),

  feature(
    CompletionRequest.method,
    at,
    [],
    Urgency.Cursor,
    ({ session, abilities }, { textDocument, position }: AtPosition) =>
      read(session, textDocument.uri, [], (analysis, document) => {
        const { items } = session.engine.complete(analysis, document.offsetAt(position));
        const whole = items.map((item) => toCompletionItem(document, item));
        return abilities.lateDocumentation ? whole.map((item) => withoutPage(item, textDocument.uri, position)) : whole;
      }),
    {
      offer: () => ({
        completionProvider: { triggerCharacters: [' ', '{', '.', ...JSON_TRIGGERS], resolveProvider: true },
      }),
      // An editor goes on with what has been typed since, and asks again.
      outdated: () => ({ isIncomplete: true, items: [] }),
    },
  ),

  feature(
    CompletionResolveRequest.method,
    record({ label: text, data: nullable(record({ uri, position })) }),
    null,
    Urgency.Cursor,
    async ({ session }, item: CompletionItem) => {
      const asked = item.data as PageRequest | undefined;
      if (!asked) return item;
      const { uri, position } = asked;
      return read(session, uri, item, (analysis, document) => {
        const { items } = session.engine.complete(analysis, document.offsetAt(position));
        const found = items.find(({ label }) => label === item.label);
        return found ? { ...item, documentation: toCompletionItem(document, found).documentation } : item;
      });
    },
  ),

  feature(
    DocumentSymbolRequest.method,
    inDocument,
    [],
    Urgency.Later,
    ({ session, abilities }, { textDocument }: InDocument) =>
      read(session, textDocument.uri, [], (analysis, document) => {
        const nested = session.engine.symbols(analysis).map((symbol) => toSymbol(document, symbol));
        return abilities.nestedSymbols ? nested : flatSymbols(document.uri, nested);
      }),
    { offer: () => ({ documentSymbolProvider: true }) },
  ),

  feature(
    CodeActionRequest.method,
    record({
      textDocument: record({ uri }),
      range,
      context: record({ diagnostics: list(record({ range, message: text })), only: nullable(list(text)) }),
    }),
    [],
    Urgency.Later,
    codeActions,
    {
      offer: ({ lateEdits }) => ({
        codeActionProvider: {
          codeActionKinds: [CodeActionKind.QuickFix, FIX_ALL],
          ...(lateEdits ? { resolveProvider: true } : {}),
        },
      }),
    },
  ),
  feature(CodeActionResolveRequest.method, record({ title: text }), null, Urgency.Cursor, resolveCodeAction),
  feature(DefinitionRequest.method, at, null, Urgency.Cursor, definition, {
    offer: () => ({ definitionProvider: true }),
  }),
  feature(DocumentHighlightRequest.method, at, [], Urgency.Later, highlights, {
    offer: () => ({ documentHighlightProvider: true }),
  }),
  feature(
    ReferencesRequest.method,
    record({ textDocument: record({ uri }), position, context: nullable(object) }),
    [],
    Urgency.Later,
    references,
    { offer: () => ({ referencesProvider: true }) },
  ),
  feature(PrepareRenameRequest.method, at, null, Urgency.Cursor, prepareRename, {
    offer: () => ({ renameProvider: { prepareProvider: true } }),
  }),
  feature(
    RenameRequest.method,
    record({ textDocument: record({ uri }), position, newName: text }),
    null,
    Urgency.Later,
    rename,
  ),

  feature(
    SignatureHelpRequest.method,
    at,
    null,
    Urgency.Cursor,
    ({ session }, { textDocument, position }: AtPosition) =>
      read(session, textDocument.uri, null, (analysis, document) => {
        const found = session.engine.signatureHelp(analysis, document.offsetAt(position));
        return found && toSignatureHelp(found);
      }),
    { offer: () => ({ signatureHelpProvider: { triggerCharacters: ['(', ',', ' '] } }) },
  ),

  feature(SemanticTokensRequest.method, inDocument, { data: [] }, Urgency.Later, semantic, {
    offer: () => ({ semanticTokensProvider: { legend: TOKEN_LEGEND, full: true, range: true } }),
  }),
  feature(SemanticTokensRangeRequest.method, inRange, { data: [] }, Urgency.Later, semanticRange),
  feature(FoldingRangeRequest.method, inDocument, [], Urgency.Later, folding, {
    offer: () => ({ foldingRangeProvider: true }),
  }),
  feature(
    SelectionRangeRequest.method,
    record({ textDocument: record({ uri }), positions: list(position) }),
    null,
    Urgency.Cursor,
    selection,
    { offer: () => ({ selectionRangeProvider: true }) },
  ),
  // Where the client can be told for which languages, that is said later: see `registerForChanges`.
  feature(DocumentFormattingRequest.method, inDocument, null, Urgency.Cursor, formatting, {
    offer: ({ registerFormatting }) => (registerFormatting ? {} : { documentFormattingProvider: true }),
  }),
  feature(DocumentRangeFormattingRequest.method, inRange, null, Urgency.Cursor, rangeFormatting, {
    offer: ({ registerFormatting }) => (registerFormatting ? {} : { documentRangeFormattingProvider: true }),
  }),

  feature(DRAFT_PLACEHOLDERS, record({ uri }), null, Urgency.Later, (context, { uri }: DraftParams) =>
    draftPlaceholders(context, uri),
  ),

  feature(
    FILL,
    // Of a job, what makes no sense counts as not given.
    record({ uri, job: anything }),
    null,
    Urgency.Later,
    async ({ session, work }, { uri, job }: FillParams): Promise<FillResult | null> => {
      const found = await analyzedNow(session, uri);
      if (!found) return null;
      const { document, analysis, version } = found;
      const { text, rows, problems } = await work(session.engine.fillIn(analysis, isRecord(job) ? job : {}));
      const places = problems.map(({ span, message }) => ({ message, ...document.positionAt(span.start) }));
      return { text, version, rows, problems: places };
    },
  ),

  feature(MACHINES, record({ uri }), null, Urgency.Later, ({ session }, { uri }: MachinesParams) =>
    session.status(uri),
  ),
];

/** Answers from the document's analysis, or with `empty` where it has none. */
async function read<R>(
  session: OwnSession,
  uri: string,
  empty: R,
  answer: (analysis: Analysis, document: TextDocument) => R,
): Promise<R> {
  const found = await analyzedNow(session, uri);
  return found ? answer(found.analysis, found.document) : empty;
}

import {
  type CodeAction,
  CodeActionKind,
  type CompletionItem,
  CompletionItemKind,
  type Diagnostic,
  type DiagnosticRelatedInformation,
  DiagnosticSeverity,
  type DocumentSymbol,
  type Hover,
  MarkupKind,
  type Range,
  type SignatureHelp,
  type SymbolInformation,
  SymbolKind,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import { RULES } from '../rules/all.ts';
import type { Finding, Severity } from '../rules/rule.ts';
import type { Action } from '../service/actions.ts';
import type { SignatureText } from '../service/signatureHelp.ts';
import type { Related } from '../syntax/nodes.ts';
import type { Edit } from '../text/edit.ts';
import type { Span } from '../text/span.ts';
import type { ClientAbilities } from './abilities.ts';
import type { Completion, HoverText, Outline } from './engine.ts';
import { SHOW_FILLED_IN, type ShowFilledIn } from './messages.ts';

// The only place that turns Bookend's plain data into the protocol's types. Positions are in UTF-16 code units, as
// the protocol has them by default; the lines are those of the open document, so both sides count alike.

const SEVERITY: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  info: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

export const toRange = (document: TextDocument, span: Span): Range => ({
  start: document.positionAt(span.start),
  end: document.positionAt(span.end),
});

/** Rules that have a page of their own. */
const PAGES: ReadonlySet<string> = new Set(RULES.map(({ id }) => id));

/**
 * The findings as they are told: with the severities that count, and none of the rules that are off.
 * @param docs URI of the folder with the reference pages, without a slash at its end; null: findings link to none.
 */
export function toDiagnostics(
  document: TextDocument,
  findings: readonly Finding[],
  docs: string | null = null,
): Diagnostic[] {
  return findings.map((finding) => ({
    range: toRange(document, finding.span),
    severity: SEVERITY[finding.severity],
    code: finding.rule,
    ...(docs !== null && PAGES.has(finding.rule)
      ? { codeDescription: { href: `${docs}/rules/${finding.rule}.md` } }
      : {}),
    source: 'Bookend',
    message: finding.message,
    ...(finding.related ? { relatedInformation: finding.related.map((one) => toRelated(document, one)) } : {}),
  }));
}

const toRelated = (document: TextDocument, { span, message }: Related): DiagnosticRelatedInformation => ({
  location: { uri: document.uri, range: toRange(document, span) },
  message,
});

export function toHover(document: TextDocument, hover: HoverText): Hover {
  return { contents: { kind: MarkupKind.Markdown, value: hover.markdown }, range: toRange(document, hover.span) };
}

const ITEM_KIND: Record<Completion['kind'], CompletionItemKind> = {
  command: CompletionItemKind.Keyword,
  word: CompletionItemKind.Field,
  placeholder: CompletionItemKind.Variable,
  function: CompletionItemKind.Function,
};

/** Always with an explicit edit range, so that no client has to guess where the word begins. */
export function toCompletionItem(document: TextDocument, item: Completion): CompletionItem {
  return {
    label: item.label,
    kind: ITEM_KIND[item.kind],
    detail: item.detail,
    documentation: { kind: MarkupKind.Markdown, value: item.documentation },
    textEdit: { range: toRange(document, item.span), newText: item.text },
    ...(item.sort === undefined ? {} : { sortText: item.sort }),
    ...(item.filter === undefined ? {} : { filterText: item.filter }),
  };
}

const SYMBOL_KIND: Record<Outline['kind'], SymbolKind> = {
  command: SymbolKind.Event,
  section: SymbolKind.Namespace,
  comment: SymbolKind.String,
};

export function toSymbol(document: TextDocument, outline: Outline): DocumentSymbol {
  return {
    // The protocol wants a name that is not blank.
    name: outline.name.trim() || '-',
    detail: outline.detail,
    kind: SYMBOL_KIND[outline.kind],
    range: toRange(document, outline.span),
    selectionRange: toRange(document, outline.selection),
    children: outline.children.map((child) => toSymbol(document, child)),
  };
}

/** For clients that know no nested symbols. */
export function flatSymbols(
  uri: string,
  symbols: readonly DocumentSymbol[],
  containerName?: string,
): SymbolInformation[] {
  return symbols.flatMap((symbol) => [
    {
      name: symbol.name,
      kind: symbol.kind,
      location: { uri, range: symbol.range },
      ...(containerName === undefined ? {} : { containerName }),
    },
    ...flatSymbols(uri, symbol.children ?? [], symbol.name),
  ]);
}

/** An action with the diagnostics of the request that it is for. Its edits are for this version of the text only. */
export function toCodeAction(
  document: TextDocument,
  action: Action,
  among: readonly Diagnostic[],
  abilities: ClientAbilities,
): CodeAction {
  const { finding, title, show } = action;
  const range = toRange(document, finding.span);
  const diagnostics = among.filter(({ code, range: at }) => code === finding.rule && sameRange(at, range));
  const base = { title, kind: CodeActionKind.QuickFix, ...(diagnostics.length > 0 ? { diagnostics } : {}) };
  if (show) {
    const given: ShowFilledIn = { uri: document.uri, job: show, line: range.start.line };
    return { ...base, command: { title, command: SHOW_FILLED_IN, arguments: [given] } };
  }
  const edits = action.edits.map(({ span, text }) => ({ range: toRange(document, span), newText: text }));
  // What moves lines about is shown before it is done.
  const several = edits.length > 1 && edits.some(({ newText }) => /[\r\n]/.test(newText));
  const ask = several ? { label: title, description: `${edits.length} changes` } : null;
  return { ...base, isPreferred: action.preferred, edit: toEdit([{ document, edits }], abilities, ask) };
}

const sameRange = (a: Range, b: Range): boolean =>
  a.start.line === b.start.line &&
  a.start.character === b.start.character &&
  a.end.line === b.end.line &&
  a.end.character === b.end.character;

/** The edits of one text. `version` null: it is not open, so what is on disk counts. */
export interface TextChanges {
  readonly document: { readonly uri: string; readonly version: number | null };
  readonly edits: readonly { readonly range: Range; readonly newText: string }[];
}

/** What a person is asked before edits are made: a headline, and a detail. */
export interface Confirmation {
  readonly label: string;
  readonly description: string;
}

/** Edits as the client can take them: with versions, and for confirmation, where it knows either. */
export function toEdit(
  changes: readonly TextChanges[],
  { versionedEdits, confirmsEdits }: ClientAbilities,
  ask: Confirmation | null,
): WorkspaceEdit {
  if (!versionedEdits)
    return { changes: Object.fromEntries(changes.map(({ document, edits }) => [document.uri, [...edits]])) };
  const confirmed = ask !== null && confirmsEdits;
  return {
    documentChanges: changes.map(({ document: { uri, version }, edits }) => ({
      textDocument: { uri, version },
      edits: edits.map((edit) => (confirmed ? { ...edit, annotationId: ANNOTATION } : edit)),
    })),
    ...(confirmed ? { changeAnnotations: { [ANNOTATION]: { ...ask, needsConfirmation: true } } } : {}),
  };
}

/** The edits of one text that need not be the one that was asked about. */
export const toEditOf = (
  { document, version }: { readonly document: TextDocument; readonly version: number | null },
  edits: readonly Edit[],
  abilities: ClientAbilities,
): WorkspaceEdit =>
  toEdit(
    [
      {
        document: { uri: document.uri, version },
        edits: edits.map(({ span, text }) => ({ range: toRange(document, span), newText: text })),
      },
    ],
    abilities,
    null,
  );

const ANNOTATION = 'bookend';

export function toSignatureHelp({ signature, does, parameters, pages, active }: SignatureText): SignatureHelp {
  return {
    signatures: [
      {
        label: signature,
        documentation: { kind: MarkupKind.Markdown, value: does },
        parameters: parameters.map(({ start, end }, i) => {
          const page = pages[i];
          const label: [number, number] = [start, end];
          return page ? { label, documentation: { kind: MarkupKind.Markdown, value: page } } : { label };
        }),
        activeParameter: active,
      },
    ],
    activeSignature: 0,
    activeParameter: active,
  };
}

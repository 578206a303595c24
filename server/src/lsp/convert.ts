import {
  type CompletionItem,
  CompletionItemKind,
  type Diagnostic,
  type DiagnosticRelatedInformation,
  DiagnosticSeverity,
  type DocumentSymbol,
  type Hover,
  MarkupKind,
  type Range,
  type SymbolInformation,
  SymbolKind,
} from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import type { Finding, Severity } from '../rules/rule.ts';
import type { Related } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import type { Completion, HoverText, Outline } from './engine.ts';
import type { Settings } from './settings.ts';

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

/** The findings as the settings want them: other severities, and none of the rules that are off. */
export function toDiagnostics(document: TextDocument, findings: readonly Finding[], settings: Settings): Diagnostic[] {
  const diagnostics: Diagnostic[] = [];
  for (const finding of findings) {
    const severity = settings.rules.get(finding.rule) ?? finding.severity;
    if (severity === 'off') continue;
    diagnostics.push({
      range: toRange(document, finding.span),
      severity: SEVERITY[severity],
      code: finding.rule,
      source: 'Bookend',
      message: finding.message,
      ...(finding.related ? { relatedInformation: finding.related.map((one) => toRelated(document, one)) } : {}),
    });
  }
  return diagnostics;
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

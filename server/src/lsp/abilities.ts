import type { InitializeParams } from 'vscode-languageserver';

/** What the client can do, as far as the session asks. */
export interface ClientAbilities {
  /** It asks for diagnostics itself; else they are pushed. */
  readonly pull: boolean;
  /** It asks again when told that diagnostics may have changed. */
  readonly refresh: boolean;
  /** It answers workspace/configuration. */
  readonly configuration: boolean;
  /** It can be asked to report changed settings, or changed files. */
  readonly registerSettings: boolean;
  readonly registerFiles: boolean;
  readonly folders: boolean;
  readonly nestedSymbols: boolean;
  /** It asks for a completion's page only when the item is looked at. */
  readonly lateDocumentation: boolean;
  /** It takes completions with places to fill in. */
  readonly snippets: boolean;
  /** It takes code actions that hold edits, not commands only. */
  readonly actions: boolean;
  /** It asks for an action's edit only when the action is chosen. */
  readonly lateEdits: boolean;
  /** It takes edits with the version that they are for, so that they are refused where the text has changed. */
  readonly versionedEdits: boolean;
  /** It shows edits for confirmation where they ask for it. */
  readonly confirmsEdits: boolean;
  /** It can be told for which languages texts can be formatted. */
  readonly registerFormatting: boolean;
}

export function readAbilities({ capabilities }: InitializeParams): ClientAbilities {
  const { workspace, textDocument } = capabilities;
  return {
    pull: textDocument?.diagnostic !== undefined,
    refresh: workspace?.diagnostics?.refreshSupport === true,
    configuration: workspace?.configuration === true,
    registerSettings: workspace?.didChangeConfiguration?.dynamicRegistration === true,
    registerFiles: workspace?.didChangeWatchedFiles?.dynamicRegistration === true,
    folders: workspace?.workspaceFolders === true,
    lateDocumentation:
      textDocument?.completion?.completionItem?.resolveSupport?.properties.includes('documentation') === true,
    snippets: textDocument?.completion?.completionItem?.snippetSupport === true,
    actions: textDocument?.codeAction?.codeActionLiteralSupport !== undefined,
    lateEdits:
      textDocument?.codeAction?.dataSupport === true &&
      textDocument.codeAction.resolveSupport?.properties.includes('edit') === true,
    versionedEdits: workspace?.workspaceEdit?.documentChanges === true,
    confirmsEdits: workspace?.workspaceEdit?.changeAnnotationSupport !== undefined,
    registerFormatting:
      textDocument?.formatting?.dynamicRegistration === true &&
      textDocument.rangeFormatting?.dynamicRegistration === true,
    nestedSymbols: textDocument?.documentSymbol?.hierarchicalDocumentSymbolSupport === true,
  };
}

import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { FILL, type FillParams, type FillResult, type ShowFilledIn } from '../../server/src/lsp/messages.ts';

/** Documents of this scheme are shown only: nothing is written to them, and the server does not check them. */
export const FILLED_SCHEME = 'bookend-filled';

export interface FilledView extends vscode.Disposable {
  show(given?: ShowFilledIn): Promise<void>;
}

/** How long edits may go on before the side document follows, ms. */
const PAUSE = 50;

/** Shows sequences as a job would run them, in documents beside them that follow the sequence as it is edited. */
export function showFilledIn(client: BaseLanguageClient): FilledView {
  const changed = new vscode.EventEmitter<vscode.Uri>();
  const problems = vscode.languages.createDiagnosticCollection(FILLED_SCHEME);
  const latest = new Map<string, FillResult>();
  let timer: ReturnType<typeof setTimeout> | undefined;

  const follow = (sources: readonly vscode.Uri[]): void => {
    const uris = new Set(sources.map((uri) => client.code2ProtocolConverter.asUri(uri)));
    const shown = vscode.workspace.textDocuments.filter(({ uri }) => uris.has(askedFor(uri)?.uri ?? ''));
    if (shown.length === 0) return;
    clearTimeout(timer);
    timer = setTimeout(() => {
      for (const { uri } of shown) changed.fire(uri);
    }, PAUSE);
  };

  const provider: vscode.TextDocumentContentProvider = {
    onDidChange: changed.event,
    async provideTextDocumentContent(uri) {
      const params = askedFor(uri);
      const result = params && (await client.sendRequest<FillResult | null>(FILL, params).catch(() => null));
      // The sequence may have been closed meanwhile: what was shown last stays.
      if (!result) return latest.get(uri.toString())?.text ?? '';
      latest.set(uri.toString(), result);
      problems.set(
        uri,
        result.problems.map((problem) => toDiagnostic(problem, result.rows)),
      );
      return result.text;
    },
  };

  const all = vscode.Disposable.from(
    changed,
    problems,
    vscode.workspace.registerTextDocumentContentProvider(FILLED_SCHEME, provider),
    vscode.workspace.onDidChangeTextDocument(({ document }) => follow([document.uri])),
    // The machine or its vocabulary may have changed too.
    vscode.languages.onDidChangeDiagnostics(({ uris }) => follow(uris)),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => {
      latest.delete(uri.toString());
      problems.delete(uri);
    }),
    { dispose: () => clearTimeout(timer) },
  );

  return {
    async show({ uri = activeSequence(client), job, line } = {}) {
      if (uri === null) {
        await vscode.window.showInformationMessage('Open a sequence first: it is shown as a job would run it.');
        return;
      }
      const filled = filledUri(client.protocol2CodeConverter.asUri(uri), job ? { uri, job } : { uri });
      changed.fire(filled);
      const document = await vscode.workspace.openTextDocument(filled);
      const row = line === undefined ? 0 : rowOf(latest.get(filled.toString())?.rows ?? [], line);
      await vscode.window.showTextDocument(document, {
        viewColumn: vscode.ViewColumn.Beside,
        preserveFocus: true,
        // Marked only where a row was asked for.
        ...(line === undefined ? {} : { selection: document.lineAt(Math.min(row, document.lineCount - 1)).range }),
      });
    },
    dispose: () => all.dispose(),
  };
}

function activeSequence(client: BaseLanguageClient): string | null {
  const document = vscode.window.activeTextEditor?.document;
  if (document?.languageId !== 'bookend' || document.uri.scheme === FILLED_SCHEME) return null;
  return client.code2ProtocolConverter.asUri(document.uri);
}

/** Named like the sequence, so that it gets the same colours. */
function filledUri(source: vscode.Uri, params: FillParams): vscode.Uri {
  const at = source.path.lastIndexOf('/') + 1;
  const path = `/${source.path.slice(0, at).replace(/^\/+/, '')}filled in ${source.path.slice(at)}`;
  return vscode.Uri.from({ scheme: FILLED_SCHEME, path, query: JSON.stringify(params) });
}

function askedFor(uri: vscode.Uri): FillParams | null {
  if (uri.scheme !== FILLED_SCHEME) return null;
  try {
    return JSON.parse(uri.query);
  } catch {
    return null; // an address that somebody else made
  }
}

/** The first filled row that comes from a row of the sequence, else the first behind it. */
function rowOf(rows: readonly number[], line: number): number {
  const own = rows.indexOf(line);
  return own >= 0
    ? own
    : Math.max(
        0,
        rows.findIndex((row) => row >= line),
      );
}

function toDiagnostic({ message, line }: FillResult['problems'][number], rows: readonly number[]): vscode.Diagnostic {
  const row = rowOf(rows, line);
  const diagnostic = new vscode.Diagnostic(new vscode.Range(row, 0, row, Number.MAX_SAFE_INTEGER), message);
  diagnostic.source = 'Bookend';
  return diagnostic;
}

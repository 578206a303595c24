import * as vscode from 'vscode';
import type { InspectionAnswer, InspectionFinding } from '../../server/src/lsp/inspectionMessages.ts';

/** Documents of this scheme are shown only. */
const SCHEME = 'bookend-report';

type Report = Extract<InspectionAnswer, { kind: 'report' }>;

export interface Reports extends vscode.Disposable {
  /** @param target Where the program was written, if it was. */
  show(source: vscode.Uri, entry: string | null, target: vscode.Uri | null, report: Report): Promise<void>;
}

/** What a report is of: a file with rows that can be shown, or null for an entry inside a package. */
interface Shown {
  readonly text: string;
  readonly program: vscode.Uri | null;
}

/** Shows reports of checked jobs as documents, and their findings where problems are listed. */
export function showReports(): Reports {
  const changed = new vscode.EventEmitter<vscode.Uri>();
  const problems = vscode.languages.createDiagnosticCollection(SCHEME);
  const shown = new Map<string, Shown>();
  /** Programs that the editor checks by itself as soon as they are open. */
  const small = new Set<string>();

  const forget = ({ uri }: vscode.TextDocument): void => problems.delete(uri);
  const all = vscode.Disposable.from(
    changed,
    problems,
    vscode.workspace.registerTextDocumentContentProvider(SCHEME, {
      onDidChange: changed.event,
      provideTextDocumentContent: (uri) =>
        shown.get(uri.toString())?.text ??
        'This report went with the window that it was made in: check the job again.\n',
    }),
    vscode.languages.registerDocumentLinkProvider(
      { scheme: SCHEME },
      { provideDocumentLinks: (document) => linksIn(document, shown.get(document.uri.toString())?.program ?? null) },
    ),
    vscode.workspace.onDidOpenTextDocument((document) => {
      if (small.has(document.uri.toString())) forget(document);
    }),
    // What was found holds for the program as it was read.
    vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
      if (document.uri.scheme !== SCHEME && contentChanges.length > 0) forget(document);
    }),
    vscode.workspace.onDidCloseTextDocument((document) => {
      if (document.uri.scheme !== SCHEME) return;
      shown.delete(document.uri.toString());
      forget(document);
    }),
  );

  return {
    async show(source, entry, target, report) {
      const uri = reportUri(source, entry);
      const program = target ?? (entry === null ? source : null);
      shown.set(uri.toString(), { text: report.text, program });
      changed.fire(uri);
      if (program) {
        const key = program.toString();
        if (report.small) small.add(key);
        const open = vscode.workspace.textDocuments.some((document) => document.uri.toString() === key);
        problems.set(
          program,
          report.small && open ? [] : report.findings.map((finding) => toDiagnostic(finding, finding)),
        );
      } else problems.set(uri, inReport(report));
      const document = await vscode.workspace.openTextDocument(uri);
      await vscode.window.showTextDocument(document, { preview: false });
    },
    dispose: () => all.dispose(),
  };
}

/** Named like the job, and as a plain text. The rest of the address tells entries of the same name apart. */
function reportUri(source: vscode.Uri, entry: string | null): vscode.Uri {
  const name = (entry ?? source.path).split('/').pop() || 'job';
  const folder = source.path.slice(0, source.path.lastIndexOf('/'));
  const query = JSON.stringify([source.toString(), entry]);
  return vscode.Uri.from({ scheme: SCHEME, path: `${folder}/Report on ${name}.txt`, query });
}

/** Each "line 5120, column 4" of the report leads there. */
function linksIn(document: vscode.TextDocument, program: vscode.Uri | null): vscode.DocumentLink[] {
  if (!program) return [];
  return [...document.getText().matchAll(/\bline (\d+)(?:, column (\d+))?/gi)].map((match) => {
    const range = new vscode.Range(
      document.positionAt(match.index),
      document.positionAt(match.index + match[0].length),
    );
    const place = `L${match[1]},${match[2] ?? 1}`;
    const link = new vscode.DocumentLink(range, program.with({ fragment: place }));
    link.tooltip = 'Show this line of the program';
    return link;
  });
}

/** The findings of an entry, which has no file to be shown in, on the rows of the report that tell them. */
function inReport({ text, findings }: Report): vscode.Diagnostic[] {
  const rows = text.split('\n');
  return findings.flatMap((finding) => {
    const row = rows.findIndex((one) => one.includes(`line ${finding.line}, column ${finding.column}: `));
    return row < 0 ? [] : [toDiagnostic(finding, { line: row + 1, column: 1 })];
  });
}

const SEVERITY = {
  error: vscode.DiagnosticSeverity.Error,
  warning: vscode.DiagnosticSeverity.Warning,
  info: vscode.DiagnosticSeverity.Information,
  hint: vscode.DiagnosticSeverity.Hint,
} as const;

/** From the place to the end of its row. */
function toDiagnostic(
  { rule, severity, message, page }: InspectionFinding,
  { line, column }: { readonly line: number; readonly column: number },
): vscode.Diagnostic {
  const range = new vscode.Range(line - 1, column - 1, line - 1, Number.MAX_SAFE_INTEGER);
  const diagnostic = new vscode.Diagnostic(range, message, SEVERITY[severity]);
  diagnostic.source = 'Bookend';
  diagnostic.code = page === null ? rule : { value: rule, target: vscode.Uri.parse(page) };
  return diagnostic;
}

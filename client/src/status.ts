import * as vscode from 'vscode';
import { type BaseLanguageClient, State as ClientState } from 'vscode-languageclient';
import { CHANGED, MACHINES, type Status } from '../../server/src/lsp/messages.ts';

/** Shows in the status bar which machine the text in the active editor is checked against. A click opens the picker. */
export function showStatus(client: BaseLanguageClient): vscode.Disposable {
  const item = vscode.window.createStatusBarItem('bookend.machine', vscode.StatusBarAlignment.Right, 100);
  item.name = 'Bookend machine';
  item.command = 'bookend.chooseMachine';
  let asked = 0;

  const refresh = async (): Promise<void> => {
    const mine = ++asked;
    const document = vscode.window.activeTextEditor?.document;
    const isSequence = document?.languageId === 'bookend';
    const status = isSequence && client.state === ClientState.Running ? await ask(client, document) : null;
    // A later question has been asked meanwhile; its answer counts.
    if (mine !== asked) return;
    if (status) fill(item, status);
    if (status) item.show();
    else item.hide();
  };

  return vscode.Disposable.from(
    item,
    vscode.window.onDidChangeActiveTextEditor(refresh),
    vscode.workspace.onDidOpenTextDocument(refresh), // also when a document's language is changed
    vscode.languages.onDidChangeDiagnostics(({ uris }) => {
      const active = vscode.window.activeTextEditor?.document.uri.toString();
      if (uris.some((uri) => uri.toString() === active)) refresh();
    }),
    client.onDidChangeState(refresh),
    client.onNotification(CHANGED, refresh),
  );
}

/** What the server says about a document; null where it says nothing. */
export async function ask(client: BaseLanguageClient, document: vscode.TextDocument): Promise<Status | null> {
  try {
    return await client.sendRequest<Status | null>(MACHINES, {
      uri: client.code2ProtocolConverter.asUri(document.uri),
    });
  } catch {
    return null; // the server is being restarted
  }
}

function fill(item: vscode.StatusBarItem, status: Status): void {
  const warn = status.state === 'unreadable' || status.state === 'too large' || status.state === 'several';
  item.text = `${warn ? '$(warning)' : '$(checklist)'} ${label(status)}`;
  item.tooltip = new vscode.MarkdownString().appendText(
    [`${status.reason}\nChecked as: ${ROLE_NAMES[status.role]}.`, ...verdictLines(status)].join('\n'),
  );
  item.accessibilityInformation = { label: `Bookend: ${label(status)}. ${status.reason}` };
}

/** At most this many open rules are named in the tooltip. */
const MOST_OPEN = 5;

function verdictLines({ verdict }: Status): string[] {
  if (!verdict) return [];
  const { holds, fails, undecided, unasked } = verdict;
  const lines = [`${holds} rules hold for every job, ${fails} fail, ${undecided.length} cannot be decided.`];
  for (const { rule, reason } of undecided.slice(0, MOST_OPEN)) lines.push(`${rule}: ${reason}`);
  if (undecided.length > MOST_OPEN) lines.push(`… and ${undecided.length - MOST_OPEN} more`);
  for (const [reason, rules] of gapsIn(unasked)) lines.push(`${rules} not asked: ${reason}.`);
  return lines;
}

/** How many rules each gap leaves out: it is told once, not for each of them. */
function gapsIn(unasked: readonly { readonly reason: string }[]): ReadonlyMap<string, number> {
  const gaps = new Map<string, number>();
  for (const { reason } of unasked) gaps.set(reason, (gaps.get(reason) ?? 0) + 1);
  return gaps;
}

function label({ state, current }: Status): string {
  switch (state) {
    case 'checked':
      return current?.name ?? 'No machine';
    case 'no machine':
      return 'No machine';
    case 'several':
      return 'Choose a machine';
    case 'unreadable':
      return 'Machine file unreadable';
    case 'too large':
      return 'Too large to check';
  }
}

export const ROLE_NAMES = {
  start: 'start sequence',
  end: 'end sequence',
  layer: 'layer-change sequence',
  swap: 'tool-swap sequence',
  pause: 'pause sequence',
  program: 'whole program',
} as const;

import * as vscode from 'vscode';
import type { SetSeverity } from '../../server/src/lsp/messages.ts';

const CHOICES: readonly { readonly label: string; readonly description: string }[] = [
  { label: 'error', description: 'It breaks something.' },
  { label: 'warning', description: 'Most likely a mistake.' },
  { label: 'info', description: 'Worth knowing.' },
  { label: 'hint', description: 'Marked with a few dots only.' },
  { label: 'off', description: 'Not told at all.' },
];

/** Asks how a rule counts and writes it into the settings of the text's folder; without a folder, into the user's own. */
export async function setSeverity(given: SetSeverity | undefined): Promise<void> {
  if (typeof given?.uri !== 'string' || typeof given.rule !== 'string') return;
  const placeHolder = `How does ${given.rule} count in this folder?`;
  const chosen = await vscode.window.showQuickPick(CHOICES, { placeHolder });
  if (!chosen) return;
  const uri = vscode.Uri.parse(given.uri);
  const target = vscode.workspace.getWorkspaceFolder(uri)
    ? vscode.ConfigurationTarget.WorkspaceFolder
    : vscode.ConfigurationTarget.Global;
  const settings = vscode.workspace.getConfiguration('bookend', uri);
  const { globalValue, workspaceFolderValue } = settings.inspect<Record<string, string>>('rules') ?? {};
  const own = target === vscode.ConfigurationTarget.Global ? globalValue : workspaceFolderValue;
  await settings.update('rules', { ...own, [given.rule]: chosen.label }, target);
}

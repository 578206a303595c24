import * as vscode from 'vscode';
import type { MachineItem } from '../../server/src/lsp/messages.ts';

export interface MachineRow extends vscode.QuickPickItem {
  /** null: no machine; undefined: as the usual order decides. */
  readonly machine?: string | null;
}

/** Machine files to choose from, and none of them. */
export function machineRows(
  known: readonly MachineItem[],
  isCurrent: (machine: MachineItem) => boolean = () => false,
): MachineRow[] {
  return [
    ...known.map((machine) => ({
      label: machine.name,
      description: [machine.bed, isCurrent(machine) ? 'current' : ''].filter(Boolean).join(' · '),
      detail: vscode.workspace.asRelativePath(vscode.Uri.parse(machine.uri)),
      machine: machine.uri,
    })),
    { label: '', kind: vscode.QuickPickItemKind.Separator },
    { label: 'No machine', description: 'Machine checks are off for this text', machine: null },
  ];
}

export const pickMachine = (rows: readonly MachineRow[], placeHolder: string): Thenable<MachineRow | undefined> =>
  vscode.window.showQuickPick(rows, {
    title: 'Which machine will run this?',
    placeHolder,
    matchOnDescription: true,
    matchOnDetail: true,
  });

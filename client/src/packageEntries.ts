import * as vscode from 'vscode';
import type { EntryChoice, InspectedEntry } from '../../server/src/lsp/inspectionMessages.ts';
import { megabytes } from './inspectionProgress.ts';

/** What the person wants to have done with an entry. */
interface Chosen {
  readonly entry: EntryChoice;
  /** Where it is written while it is checked. */
  readonly target?: vscode.Uri;
}

interface Row extends vscode.QuickPickItem {
  readonly entry?: InspectedEntry;
}

/** Shows what a package holds, programs first, and asks what is done with one of them; null: nothing. */
export async function chooseEntry(
  uri: vscode.Uri,
  what: string,
  entries: readonly InspectedEntry[],
): Promise<Chosen | null> {
  const files = entries.filter((entry) => entry.what !== 'folder');
  const programs = files.filter((entry) => entry.program).sort((a, b) => b.size - a.size);
  const others = files.filter((entry) => !entry.program);
  const rows: Row[] = [
    ...(programs.length > 0 ? [separator('Programs')] : []),
    ...programs.map(toRow),
    ...(others.length > 0 ? [separator('What reads like no program')] : []),
    ...others.map(toRow),
  ];
  const title = `${uri.path.slice(uri.path.lastIndexOf('/') + 1)} is a ${what}: which entry?`;
  const placeHolder = programs.length > 0 ? 'Choose by what it holds, not by its name' : 'There is no program in it';
  const row = await vscode.window.showQuickPick(rows, { title, placeHolder, matchOnDescription: true });
  if (!row?.entry) return null;
  if (row.entry.problem !== null) {
    await vscode.window.showErrorMessage(row.entry.problem);
    return null;
  }
  return chooseDeed(uri, row.entry);
}

async function chooseDeed(uri: vscode.Uri, entry: InspectedEntry): Promise<Chosen | null> {
  const check = { label: 'Check it', description: 'Read it inside the package and report' };
  const take = {
    label: 'Check it and take it out…',
    description: 'Also write it as a plain file, ready for the machine',
  };
  const deed = await vscode.window.showQuickPick([check, take], { title: entry.name || 'The program' });
  const choice = { index: entry.index, name: entry.name };
  if (deed === check) return { entry: choice };
  if (deed !== take) return null;
  const target = await vscode.window.showSaveDialog({
    defaultUri: vscode.Uri.joinPath(uri, '..', entry.proposed),
    title: `Take out ${entry.name}`,
    saveLabel: 'Take Out',
  });
  if (!target) return null;
  if (target.toString() !== uri.toString()) return { entry: choice, target };
  await vscode.window.showErrorMessage('The package itself is not written over: choose another name.');
  return null;
}

const separator = (label: string): Row => ({ label, kind: vscode.QuickPickItemKind.Separator });

function toRow(entry: InspectedEntry): Row {
  const { name, size, packed, date, what, problem } = entry;
  const sizes = size > 0 ? `${megabytes(size)}, packed ${megabytes(packed)}` : megabytes(packed);
  const description = [what, sizes, date?.replace('T', ' ').slice(0, 16)].filter(Boolean).join(' · ');
  return { label: name || '(without a name)', description, entry, ...(problem ? { detail: problem } : {}) };
}

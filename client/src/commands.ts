import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  CHOOSE_MACHINE,
  CHOOSE_ROLE,
  DRAFT_PLACEHOLDERS,
  type MachineItem,
  SET_SEVERITY,
  type SetSeverity,
  type ShowFilledIn,
  type Status,
} from '../../server/src/lsp/messages.ts';
import { ROLES, type Role } from '../../server/src/syntax/role.ts';
import type { FilledView } from './filled.ts';
import type { InspectionDoing } from './inspections.ts';
import { machineRows, pickMachine } from './machineRows.ts';
import type { Picks } from './picks.ts';
import { setSeverity } from './severity.ts';
import { ask, ROLE_NAMES } from './status.ts';

/** The commands of the palette. */
export function registerCommands(
  client: BaseLanguageClient,
  picks: Picks,
  log: vscode.OutputChannel,
  filled: FilledView,
  jobs: InspectionDoing,
): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.commands.registerCommand('bookend.chooseMachine', () => withStatus(client, chooseMachine(client, picks))),
    vscode.commands.registerCommand('bookend.chooseRole', () => withStatus(client, chooseRole(client, picks))),
    vscode.commands.registerCommand('bookend.draftPlaceholders', () => draftPlaceholders(client)),
    vscode.commands.registerCommand('bookend.showFilledIn', (given?: ShowFilledIn) => filled.show(isGiven(given))),
    vscode.commands.registerCommand(SET_SEVERITY, (given?: SetSeverity) => setSeverity(given)),
    vscode.commands.registerCommand('bookend.checkJob', (one?: vscode.Uri, all?: vscode.Uri[]) => jobs.check(one, all)),
    vscode.commands.registerCommand('bookend.restartServer', () => restart(client)),
    vscode.commands.registerCommand('bookend.showLog', () => log.show(true)),
  );
}

/** A menu gives the address of its editor instead: then the active editor counts all the same. */
const isGiven = (given: ShowFilledIn | undefined): ShowFilledIn | undefined =>
  typeof given?.uri === 'string' ? given : undefined;

/** Choices made meanwhile go along: the initialization options are made anew at each start. */
async function restart(client: BaseLanguageClient): Promise<void> {
  if (client.isRunning()) await client.stop();
  await client.start();
}

/**
 * Opens a vocabulary file to begin with, made from the sequence in the active editor, beside it: not saved yet, under a
 * name of its own next to the sequence, so that saving it is all that is left to do.
 */
async function draftPlaceholders(client: BaseLanguageClient): Promise<void> {
  const document = vscode.window.activeTextEditor?.document;
  const uri = document?.languageId === 'bookend' ? client.code2ProtocolConverter.asUri(document.uri) : null;
  const content = uri && (await client.sendRequest<string | null>(DRAFT_PLACEHOLDERS, { uri }));
  if (!content) {
    await vscode.window.showInformationMessage(
      'Open a sequence first: the vocabulary is drafted from its placeholders.',
    );
    return;
  }
  const name = document ? await nameOfDraft(document.uri) : null;
  const draft = await (name
    ? vscode.workspace.openTextDocument(name)
    : vscode.workspace.openTextDocument({ language: 'bookend-placeholders', content }));
  const editor = await vscode.window.showTextDocument(draft, { viewColumn: vscode.ViewColumn.Beside });
  // One that was opened before and not saved is made anew.
  if (name) await editor.edit((edit) => edit.replace(new vscode.Range(0, 0, draft.lineCount, 0), content));
}

/** A file that is not there yet: `siskin.placeholders.json` beside `siskin.start.gcode`. null: the sequence is no file. */
async function nameOfDraft(sequence: vscode.Uri): Promise<vscode.Uri | null> {
  const folder = sequence.with({ path: sequence.path.replace(/[^/]*$/, '') });
  if (vscode.workspace.fs.isWritableFileSystem(sequence.scheme) !== true) return null;
  const [first = 'drafted'] = sequence.path.slice(folder.path.length).split('.');
  for (const name of [first, `${first}-draft`, `${first}-draft-2`, `${first}-draft-3`]) {
    const file = vscode.Uri.joinPath(folder, `${name}.placeholders.json`);
    const isThere = await vscode.workspace.fs.stat(file).then(
      () => true,
      () => false,
    );
    if (!isThere) return file.with({ scheme: 'untitled' });
  }
  return null;
}

type Chosen = (uri: string, status: Status) => Promise<void>;

/** Runs a choice for the active editor, or says why there is nothing to choose for. */
async function withStatus(client: BaseLanguageClient, choose: Chosen): Promise<void> {
  const document = vscode.window.activeTextEditor?.document;
  const status = document?.languageId === 'bookend' ? await ask(client, document) : null;
  if (document && status) return choose(client.code2ProtocolConverter.asUri(document.uri), status);
  await vscode.window.showInformationMessage('Open a sequence first: the choice is for the text in the active editor.');
}

function chooseMachine(client: BaseLanguageClient, picks: Picks): Chosen {
  return async (uri, status) => {
    const isCurrent = ({ uri: machine }: MachineItem): boolean => machine === status.current?.uri;
    const known = [...status.known.filter(isCurrent), ...status.known.filter((machine) => !isCurrent(machine))];
    const rows = machineRows(known, isCurrent);
    if (status.picked) rows.push({ label: 'Automatic', description: 'Forget the choice made here' });
    const chosen = await pickMachine(rows, 'Machine files of this workspace and of the folders above the text');
    if (!chosen) return;
    await picks.setMachine(uri, chosen.machine);
    await client.sendRequest(CHOOSE_MACHINE, { uri, machine: chosen.machine });
  };
}

interface RoleRow extends vscode.QuickPickItem {
  readonly role: Role | null;
}

function chooseRole(client: BaseLanguageClient, picks: Picks): Chosen {
  return async (uri, status) => {
    const rows: RoleRow[] = ROLES.map((role) => ({
      label: capital(ROLE_NAMES[role]),
      description: role === status.role ? 'Current' : '',
      role,
    }));
    rows.push({ label: 'Automatic', description: 'As the file name says', role: null });
    const chosen = await vscode.window.showQuickPick(rows, { title: 'What is this text?' });
    if (!chosen) return;
    await picks.setRole(uri, chosen.role);
    await client.sendRequest(CHOOSE_ROLE, { uri, role: chosen.role });
  };
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

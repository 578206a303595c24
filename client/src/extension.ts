import * as vscode from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { type InitOptions, TRUSTED } from '../../server/src/lsp/messages.ts';
import { registerCommands } from './commands.ts';
import { answerFileRequests } from './files.ts';
import { FILLED_SCHEME, showFilledIn } from './filled.ts';
import { answerInspectedFiles } from './inspectedFiles.ts';
import { checkJobs } from './inspections.ts';
import { rememberedPicks } from './picks.ts';
import { showStatus } from './status.ts';

/** Makes the language client of one host: Node or browser. */
export type MakeClient = (options: LanguageClientOptions) => BaseLanguageClient;

/** What both hosts do: start the server, show the machine in the status bar, offer the commands. */
export async function activate(context: vscode.ExtensionContext, makeClient: MakeClient): Promise<void> {
  const picks = rememberedPicks(context.workspaceState);
  const log = vscode.window.createOutputChannel('Bookend', { log: true });
  const initializationOptions = (): InitOptions => ({
    ...picks.all(),
    files: true,
    status: true,
    showsFilledIn: true,
    setsSeverity: true,
    draftsPlaceholders: true,
    trusted: vscode.workspace.isTrusted,
    docs: vscode.Uri.joinPath(context.extensionUri, 'docs').toString(),
  });
  const client = makeClient({
    // Any scheme: unsaved, virtual and untitled documents count as much as files.
    documentSelector: [{ language: 'bookend' }, { language: 'bookend-machine' }, { language: 'bookend-placeholders' }],
    initializationOptions,
    outputChannel: log,
    middleware: {
      // What is filled in is shown, not checked: no machine belongs to it.
      didOpen: (document, next) => (isFilled(document) ? Promise.resolve() : next(document)),
      didChange: (event, next) => (isFilled(event.document) ? Promise.resolve() : next(event)),
      didClose: (document, next) => (isFilled(document) ? Promise.resolve() : next(document)),
    },
    // A log that pushes itself in front takes the keyboard away.
    revealOutputChannelOn: 4,
  });
  answerFileRequests(client);
  answerInspectedFiles(client);
  const filled = showFilledIn(client);
  const jobs = checkJobs(client);
  context.subscriptions.push(log, client, filled, jobs, showStatus(client));
  context.subscriptions.push(registerCommands(client, picks, log, filled, jobs));
  context.subscriptions.push(
    vscode.workspace.onDidGrantWorkspaceTrust(() => client.sendNotification(TRUSTED).then(undefined, () => {})),
  );
  await client.start();
}

const isFilled = ({ uri }: vscode.TextDocument): boolean => uri.scheme === FILLED_SCHEME;

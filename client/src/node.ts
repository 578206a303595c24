import type { ExtensionContext } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { activate as start } from './extension.ts';

/** Starts Bookend in a Node extension host, with the language server as a process of its own. */
export function activate(context: ExtensionContext): Promise<void> {
  const module = context.asAbsolutePath('dist/server.js');
  const run = { module, transport: TransportKind.ipc };
  const debug = { ...run, options: { execArgv: ['--nolazy', '--inspect=6009'] } };
  return start(context, (options) => new LanguageClient('bookend', 'Bookend', { run, debug }, options));
}

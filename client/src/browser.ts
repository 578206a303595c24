import { type ExtensionContext, Uri } from 'vscode';
import { LanguageClient } from 'vscode-languageclient/browser';
import { activate as start } from './extension.ts';

/** Starts Bookend in a browser, with the language server in a web worker. */
export function activate(context: ExtensionContext): Promise<void> {
  const address = Uri.joinPath(context.extensionUri, 'dist/browser-server.js').toString(true);
  return start(context, (options) => {
    // A function, so that a restart gets a new worker.
    return new LanguageClient('bookend', 'Bookend', async () => startWorker(address), options);
  });
}

function startWorker(address: string): Worker {
  try {
    return new Worker(address);
  } catch {
    // A worker from another origin is refused; one of our own origin may load the script from there.
    const loader = new Blob([`importScripts(${JSON.stringify(address)});`], { type: 'text/javascript' });
    return new Worker(URL.createObjectURL(loader));
  }
}

import { type ExtensionContext, Uri } from 'vscode';
import { BrowserMessageReader, BrowserMessageWriter, LanguageClient } from 'vscode-languageclient/browser';
import { activate as start } from './extension.ts';

/** Starts Bookend in a browser, with the language server in a web worker. */
export function activate(context: ExtensionContext): Promise<void> {
  const address = Uri.joinPath(context.extensionUri, 'dist/browser-server.js').toString(true);
  let worker: Worker | null = null;
  context.subscriptions.push({ dispose: () => worker?.terminate() });
  // Reader and writer rather than the worker: the editor puts an object of its own in its place, which the client
  // does not know for a worker. A function, so that a restart gets a new one.
  const connect = async () => {
    worker?.terminate();
    worker = startWorker(address);
    return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
  };
  return start(context, (options) => new LanguageClient('bookend', 'Bookend', connect, options));
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

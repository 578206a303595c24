import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { jobHere } from './lsp/jobHere.ts';
import { startServer } from './lsp/server.ts';
import { pakoInflate } from './program/inflate.ts';

// The language server in a web worker. There is no disk: all files come from the client.

const worker = self as unknown as DedicatedWorkerGlobalScope;

startServer(createConnection(new BrowserMessageReader(worker), new BrowserMessageWriter(worker)), {
  disk: null,
  startJob: jobHere({
    inflate: pakoInflate,
    hasher: null,
    files: null,
    now: () => performance.now(),
    // Messages that came meanwhile have their turn.
    rest: () => new Promise((resolve) => setTimeout(resolve)),
  }),
  timers: {
    after(milliseconds, run) {
      const timer = setTimeout(run, milliseconds);
      return () => clearTimeout(timer);
    },
  },
});

import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { startServer } from './lsp/server.ts';

// The language server in a web worker. There is no disk: all files come from the client.

const worker = self as unknown as DedicatedWorkerGlobalScope;

startServer(createConnection(new BrowserMessageReader(worker), new BrowserMessageWriter(worker)), {
  disk: null,
  timers: {
    after(milliseconds, run) {
      const timer = setTimeout(run, milliseconds);
      return () => clearTimeout(timer);
    },
  },
});

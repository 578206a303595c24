import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { jobHere } from './lsp/jobHere.ts';
import { startServer } from './lsp/server.ts';
import type { Inflate } from './program/source.ts';

// The language server in a web worker. There is no disk: all files come from the client.

const worker = self as unknown as DedicatedWorkerGlobalScope;

/** The browser's own; it cannot tell how many bytes it took up. */
const inflate: Inflate = async function* (chunks) {
  const stream = new DecompressionStream('deflate-raw');
  const writer = stream.writable.getWriter();
  const written = (async () => {
    for await (const bytes of chunks) await writer.write(bytes as BufferSource);
    await writer.close();
  })();
  // A failure shows on the side that is read.
  written.catch((error) => writer.abort(error).catch(() => {}));
  const reader = stream.readable.getReader();
  try {
    for (let next = await reader.read(); !next.done; next = await reader.read()) yield next.value;
    await written;
  } finally {
    await reader.cancel().catch(() => {});
  }
};

startServer(createConnection(new BrowserMessageReader(worker), new BrowserMessageWriter(worker)), {
  disk: null,
  startJob: jobHere({
    inflate,
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

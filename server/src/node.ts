import { readdir, readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { isMainThread } from 'node:worker_threads';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import type { Files } from './lsp/files.ts';
import { startServer } from './lsp/server.ts';
import { nodeJobs, serveThread } from './nodeJobs.ts';
import { decode } from './text/decode.ts';

// The language server in Node: over stdio (--stdio), IPC (--node-ipc), a pipe or a socket, as the client asks. In a
// thread of its own: one check of a whole file.

const disk: Files = {
  async read(uri) {
    try {
      return decode(await readFile(fileURLToPath(uri))).text;
    } catch {
      return null; // missing, unreadable, or no path on this system
    }
  },
  async list(folder) {
    try {
      const entries = await readdir(fileURLToPath(folder), { withFileTypes: true });
      return entries.map((entry) => ({ name: entry.name, folder: entry.isDirectory() }));
    } catch {
      return [];
    }
  },
};

function serve(): void {
  startServer(createConnection(ProposedFeatures.all), {
    disk,
    jobs: nodeJobs(__filename),
    timers: {
      after(milliseconds, run) {
        const timer = setTimeout(run, milliseconds);
        return () => clearTimeout(timer);
      },
    },
  });
}

if (isMainThread) serve();
else serveThread();

import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import type { Files } from './lsp/files.ts';
import { startServer } from './lsp/server.ts';
import { startInThread } from './nodeJobs.ts';
import { decode } from './text/decode.ts';

// The language server in Node: over stdio (--stdio), IPC (--node-ipc), a pipe or a socket, as the client asks.

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

startServer(createConnection(ProposedFeatures.all), {
  disk,
  startJob: startInThread(join(__dirname, 'job-thread.js')),
  timers: {
    after(milliseconds, run) {
      const timer = setTimeout(run, milliseconds);
      return () => clearTimeout(timer);
    },
  },
});

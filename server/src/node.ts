import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { diskFiles } from './lsp/files.ts';
import { startServer } from './lsp/server.ts';
import { startInThread } from './nodeJobs.ts';
import { nodeClock, nodeDisk } from './nodeReading.ts';

// The language server in Node: over stdio (--stdio), IPC (--node-ipc), a pipe or a socket, as the client asks.

startServer(createConnection(ProposedFeatures.all), {
  disk: diskFiles(nodeDisk, fileURLToPath, nodeClock),
  startJob: startInThread(join(__dirname, 'job-thread.js')),
  timers: nodeClock,
});

import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { diskFiles } from './lsp/files.ts';
import { makeGate } from './lsp/gate.ts';
import { startServer } from './lsp/server.ts';
import { startInThread } from './nodeInspections.ts';
import { spareMemory } from './nodeMemory.ts';
import { nodeClock, nodeDisk } from './nodeReading.ts';
import { nodeTimers, transportOf } from './nodeTransport.ts';

// The language server in Node: over stdio (--stdio), IPC (--node-ipc), a pipe or a socket, as the client asks.

const { reader, writer } = transportOf(process.argv.slice(2), (why) => {
  if (why !== null) console.error(`bookend: the session ends, since the client sends no messages: ${why}`);
  process.exit(why === null && gate.isShutDown() ? 0 : 1);
});
const gate = makeGate(reader, writer);

startServer(createConnection(ProposedFeatures.all, gate.reader, gate.writer), {
  disk: diskFiles(nodeDisk, fileURLToPath, nodeClock),
  startInspection: startInThread(join(__dirname, 'inspection-thread.js')),
  timers: nodeTimers,
  spareMemory,
});

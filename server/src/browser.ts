import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { makeGate } from './lsp/gate.ts';
import { inspectHere } from './lsp/inspectHere.ts';
import type { Timers } from './lsp/schedule.ts';
import { startServer } from './lsp/server.ts';
import { pakoInflate } from './packages/inflate.ts';

// The language server in a web worker. There is no disk: all files come from the client.

const worker = self as unknown as DedicatedWorkerGlobalScope;

const timers = workerTimers();
const gate = makeGate(new BrowserMessageReader(worker), new BrowserMessageWriter(worker));

startServer(createConnection(gate.reader, gate.writer), {
  disk: null,
  startInspection: inspectHere({
    inflate: pakoInflate,
    hasher: null,
    files: null,
    now: timers.now,
    // Messages that came meanwhile have their turn.
    rest: () => new Promise((resolve) => void timers.after(0, resolve)),
  }),
  timers,
});

/** A worker's own timers wait for some milliseconds each; a message to itself comes behind those that came before. */
function workerTimers(): Timers {
  const waiting: (() => void)[] = [];
  const channel = new MessageChannel();
  channel.port1.onmessage = () => waiting.shift()?.();
  return {
    after(milliseconds, run) {
      const timer = setTimeout(run, milliseconds);
      return () => clearTimeout(timer);
    },
    turn(run) {
      waiting.push(run);
      channel.port2.postMessage(null);
    },
    now: () => performance.now(),
  };
}

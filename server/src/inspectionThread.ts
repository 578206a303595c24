import * as disk from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { parentPort, workerData } from 'node:worker_threads';
import { makeInspectedFiles } from './lsp/diskInspectedFiles.ts';
import { inspectHere } from './lsp/inspectHere.ts';
import type { InspectionRequest } from './lsp/runInspection.ts';
import { hasher, inflate, openSource } from './nodeFiles.ts';
import type { FromThread, ToThread } from './nodeInspections.ts';
import { freshMark, tidy } from './nodeRuns.ts';

// One check of a whole file, in a thread beside the language server in Node.

const start = inspectHere({
  ...{ inflate, hasher },
  files: makeInspectedFiles({
    ...{ writing: disk, stat: disk.stat, openSource, pathOf: fileURLToPath, freshMark, tidy },
  }),
  now: () => performance.now(),
  rest: () => new Promise((resolve) => setImmediate(resolve)),
});

async function serve(port: NonNullable<typeof parentPort>): Promise<void> {
  const tell = (message: FromThread): void => port.postMessage(message);
  const waiting = new Map<number, { resolve(answer: unknown): void; reject(error: Error): void }>();
  let asked = 0;
  const work = start(workerData as InspectionRequest, {
    progress: (done, total) => tell({ done, total }),
    ask: (params) =>
      new Promise((resolve, reject) => {
        waiting.set(++asked, { resolve, reject });
        tell({ ask: asked, params });
      }),
  });
  port.on('message', (message: ToThread) => {
    if ('cancel' in message) return work.cancel();
    if ('failure' in message) waiting.get(message.ask)?.reject(new Error(message.failure));
    else waiting.get(message.ask)?.resolve(message.answer);
    waiting.delete(message.ask);
  });
  tell({ answer: await work.answer });
  port.close();
}

if (parentPort) serve(parentPort);

import { unlinkSync } from 'node:fs';
import * as disk from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import * as path from 'node:path';
import { isMainThread, parentPort, Worker } from 'node:worker_threads';
import { version } from '../../package.json';
import { serve } from './cli/helper.ts';
import { run } from './cli/main.ts';
import { worldOf } from './cli/world.ts';
import { hasher, inflate } from './nodeFiles.ts';
import { spareMemory } from './nodeMemory.ts';
import { nodeClock, nodeDisk, openAtOnce, READ_AT_ONCE } from './nodeReading.ts';
import { freshMark, tidy } from './nodeRuns.ts';

const world = () =>
  worldOf(
    {
      disk: isMainThread ? disk : { ...disk, open: openAtOnce },
      path,
      process,
      ...{ reading: nodeDisk, atOnce: READ_AT_ONCE, clock: nodeClock, freshMark, tidy },
      cores: availableParallelism(),
      removeNow(file) {
        try {
          unlinkSync(file);
        } catch {} // it may be gone already
      },
      ...{ inflate, hasher },
      spareMemory: () => spareMemory(true),
      thread({ message, error, exit }) {
        const worker = new Worker(__filename);
        return worker.on('message', message).on('error', error).on('exit', exit);
      },
    },
    version,
  );

const port = isMainThread ? null : parentPort;
if (port)
  port.on(
    'message',
    serve((answer) => port.postMessage(answer), world()),
  );
else {
  // A reader that has seen enough (`| head`) is no failure.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : 2));
  run(process.argv.slice(2), world()).then(
    (code) => {
      process.exitCode = code; // not exit(): what is still on its way to a pipe would be lost
    },
    (error: unknown) => {
      process.stderr.write(`bookend: failed, which it never should; please report this: ${String(error)}\n`);
      process.exitCode = 2;
    },
  );
}

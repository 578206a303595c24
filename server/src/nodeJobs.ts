import * as disk from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { parentPort, Worker, workerData } from 'node:worker_threads';
import { makeJobFiles } from './lsp/diskJobFiles.ts';
import type { JobAnswer } from './lsp/jobMessages.ts';
import { pauseEvery, tellSome } from './lsp/jobPace.ts';
import type { Beside, JobRuntime } from './lsp/jobs.ts';
import { type JobRequest, runJob } from './lsp/runJob.ts';
import { hasher, inflate, openSource } from './nodeFiles.ts';

// Checks of whole files in Node: each in a thread of its own, which runs this same file.

type Message = { readonly done: number; readonly total: number | null } | { readonly answer: JobAnswer };

const rest = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));
const now = (): number => performance.now();
const files = makeJobFiles({
  ...{ writing: disk, stat: disk.stat, openSource, pathOf: fileURLToPath, mark: `${process.pid}` },
});

/** `script`: the file that calls `serveThread` where it runs in a thread. */
export const nodeJobs = (script: string): JobRuntime => ({
  ...{ inflate, hasher, files, now, rest },
  beside(request, progress): Beside {
    const thread = new Worker(script, { workerData: request });
    const answer = new Promise<JobAnswer>((resolve) => {
      const failed = (what: string) =>
        resolve({ kind: 'failed', message: `The check broke off, which it never should: ${what}` });
      thread.on('message', (message: Message) => {
        if ('answer' in message) resolve(message.answer);
        else progress(message.done, message.total);
      });
      thread.on('error', (error) => failed(error.message));
      thread.on('exit', (code) => failed(`its thread ended with code ${code}.`));
    });
    return { answer, cancel: () => thread.postMessage('cancel') };
  },
});

/** The thread's side: one check, told about as it goes. */
export async function serveThread(): Promise<void> {
  const port = parentPort;
  if (!port) return;
  let cancelled = false;
  port.on('message', () => {
    cancelled = true;
  });
  const answer = await runJob(workerData as JobRequest, {
    ...{ files, inflate, hasher },
    progress: tellSome(now, (done, total) => port.postMessage({ done, total } satisfies Message)),
    cancelled: () => cancelled,
    pause: pauseEvery(now, rest),
  });
  port.postMessage({ answer } satisfies Message);
  port.close();
}

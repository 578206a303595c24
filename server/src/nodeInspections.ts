import { Worker } from 'node:worker_threads';
import type { InspectedFileParams, InspectionAnswer } from './lsp/inspectionMessages.ts';
import type { StartInspection } from './lsp/inspections.ts';

// Checks of whole files in Node: each in a thread of its own, which runs `inspectionThread.ts`. The two talk in these messages.

/** To the session. `ask`: a file in the client's hands; answered under the same number. */
export type FromThread =
  | { readonly done: number; readonly total: number | null }
  | { readonly ask: number; readonly params: InspectedFileParams }
  | { readonly answer: InspectionAnswer };

/** To the thread. */
export type ToThread =
  | { readonly cancel: true }
  | { readonly ask: number; readonly answer: unknown }
  | { readonly ask: number; readonly failure: string };

/** `script`: the bundle of `inspectionThread.ts`. */
export const startInThread =
  (script: string): StartInspection =>
  (request, { progress, ask }) => {
    const thread = new Worker(script, { workerData: request });
    const tell = (message: ToThread): void => thread.postMessage(message);
    const answer = new Promise<InspectionAnswer>((resolve) => {
      const failed = (what: string) =>
        resolve({ kind: 'failed', message: `The check broke off, which it never should: ${what}` });
      thread.on('message', (message: FromThread) => {
        if ('answer' in message) resolve(message.answer);
        else if ('ask' in message)
          ask(message.params).then(
            (answer) => tell({ ask: message.ask, answer }),
            (error: Error) => tell({ ask: message.ask, failure: error.message }),
          );
        else progress(message.done, message.total);
      });
      thread.on('error', (error) => failed(error.message));
      thread.on('exit', (code) => failed(`its thread ended with code ${code}.`));
    });
    return { answer, cancel: () => tell({ cancel: true }) };
  };

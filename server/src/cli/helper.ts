import { checkFile } from './checkFile.ts';
import type { FileCheck, FileOutcome } from './fileCheck.ts';
import type { Helper, Io } from './io.ts';
import { readingUpTo } from './machineLimit.ts';
import { type Finder, makeFinder } from './machines.ts';
import { counting } from './progress.ts';

/** What goes back from a helper's thread: bytes read since last told, or what came of a job. */
type Answer = { readonly read: number } | { readonly checked: FileOutcome };

/** A thread that works, and can be ended. */
export interface Thread {
  postMessage(value: FileCheck): unknown;
  terminate(): unknown;
}

/** What is told by a thread. */
export interface Hooks {
  message(answer: Answer): void;
  error(error: Error): void;
  exit(code: number): void;
}

/** A helper in a thread of its own, which answers with what `serve` gives. */
export function helperIn(start: (hooks: Hooks) => Thread): Helper {
  let job: { done(checked: FileOutcome): void; failed(error: Error): void; read(bytes: number): void } | null = null;
  const thread = start({
    message(answer) {
      if ('read' in answer) job?.read(answer.read);
      else job?.done(answer.checked);
    },
    error: (error) => job?.failed(error),
    exit: (code) => job?.failed(new Error(`it stopped with code ${code}`)),
  });
  return {
    check: (one, read) =>
      new Promise((done, failed) => {
        job = { done, failed, read };
        thread.postMessage(one);
      }),
    end: () => void thread.terminate(),
  };
}

/** So many bytes are worth a word: each word wakes the other thread, which has a core of its own only by luck. */
const ENOUGH = 1 << 22;

/** The other end: what to do with each file that it is given. */
export function serve(say: (answer: Answer) => void, io: Io): (job: FileCheck) => void {
  let unsaid = 0;
  const counted = counting(io, (read) => {
    unsaid += read;
    if (unsaid < ENOUGH) return;
    say({ read: unsaid });
    unsaid = 0;
  });
  // All jobs of a run have the same limit, which the first one tells.
  let finder: Finder | null = null;
  return (job) => {
    finder ??= makeFinder(readingUpTo(io, job.largestMachineFile));
    checkFile(job, counted, finder).then((checked) => say({ checked }));
  };
}

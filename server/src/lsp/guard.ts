import { Ended } from './asked.ts';

/** Wraps a handler: `run` may fail in any way, and the client still gets an answer, `empty`. */
export type HandlerGuard = <P, R>(
  name: string,
  empty: R,
  run: (params: P) => R | Promise<R>,
) => (params: P) => Promise<R>;

/**
 * Makes the one guard that stands around every handler and every timer, so that no failure ends the session. That nobody
 * waits for the answer any more is no failure, and goes on to whoever asked.
 */
export function makeGuard(log: (message: string) => void): HandlerGuard {
  return (name, empty, run) => async (params) => {
    try {
      return await run(params);
    } catch (error) {
      if (error instanceof Ended) throw error;
      const what = error instanceof Error ? (error.stack ?? error.message) : String(error);
      log(`${name} failed and was answered with nothing: ${what}`);
      return empty;
    }
  };
}

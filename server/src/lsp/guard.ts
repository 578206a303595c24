/** Wraps a handler: `run` may fail in any way, and the client still gets an answer, `empty`. */
export type Guard = <P, R>(name: string, empty: R, run: (params: P) => R | Promise<R>) => (params: P) => Promise<R>;

/** Makes the one guard that stands around every handler, so that no failure ends the session. */
export function makeGuard(log: (message: string) => void): Guard {
  return (name, empty, run) => async (params) => {
    try {
      return await run(params);
    } catch (error) {
      const what = error instanceof Error ? (error.stack ?? error.message) : String(error);
      log(`${name} failed and was answered with nothing: ${what}`);
      return empty;
    }
  };
}

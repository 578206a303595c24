/** Timers, handed in so that the session knows no clock. `after` answers how to call it off. */
export interface Timers {
  after(milliseconds: number, run: () => void): () => void;
}

/** Work that waits to be done, one piece a key. */
export interface Schedule {
  /** Does the work once `milliseconds` have passed without the same key being asked for again. */
  soon(key: string, milliseconds: number, run: () => void): void;
  cancel(key: string): void;
  cancelAll(): void;
}

/** The only place with timers. */
export function makeSchedule(timers: Timers): Schedule {
  const waiting = new Map<string, () => void>();
  const cancel = (key: string): void => {
    waiting.get(key)?.();
    waiting.delete(key);
  };
  return {
    soon(key, milliseconds, run) {
      cancel(key);
      const stop = timers.after(milliseconds, () => {
        waiting.delete(key);
        run();
      });
      waiting.set(key, stop);
    },
    cancel,
    cancelAll() {
      for (const key of [...waiting.keys()]) cancel(key);
    },
  };
}

/** How long to wait for further edits before a text is checked, ms: nothing for a sequence, a little for a long program. */
export const pauseFor = (textLength: number): number => Math.min(50, Math.floor(textLength / 100_000));

import type { HandlerGuard } from './guard.ts';

/** The clock and the event loop, handed in so that the session knows neither. */
export interface Timers {
  /** Answers how to call it off. */
  after(milliseconds: number, run: () => void): () => void;
  /** Runs it when messages that have come were given to their handlers, or at least the next of them. */
  turn(run: () => void): void;
  /** Milliseconds since any moment. */
  now(): number;
}

/** Work that waits to be done, one piece a key. */
export interface Schedule {
  /** Does the work once `milliseconds` have passed without the same key being asked for again. */
  soon(key: string, milliseconds: number, run: () => void | Promise<void>): void;
  cancel(key: string): void;
  cancelAll(): void;
  /** Kept when others had a turn. */
  turn(): Promise<void>;
  now(): number;
}

/** The only place with timers. Whatever they start runs behind the guard. */
export function makeSchedule(timers: Timers, guard: HandlerGuard): Schedule {
  const waiting = new Map<string, () => void>();
  const cancel = (key: string): void => {
    waiting.get(key)?.();
    waiting.delete(key);
  };
  return {
    soon(key, milliseconds, run) {
      cancel(key);
      const guarded = guard(`what was due for ${key}`, undefined, run);
      const stop = timers.after(milliseconds, () => {
        waiting.delete(key);
        guarded(undefined).catch(() => {
          // Nobody waits for it any more.
        });
      });
      waiting.set(key, stop);
    },
    cancel,
    cancelAll() {
      for (const key of [...waiting.keys()]) cancel(key);
    },
    turn: () => new Promise((resolve) => timers.turn(resolve)),
    now: () => timers.now(),
  };
}

/** How long to wait for further edits before a text is checked, ms: nothing for a sequence, a little for a long program. */
export const pauseFor = (textLength: number): number => Math.min(50, Math.floor(textLength / 100_000));

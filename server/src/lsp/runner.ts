import type { Pieces } from '../text/pieces.ts';
import type { Asked } from './asked.ts';
import type { Schedule } from './schedule.ts';

/** Work that several may wait for. */
export interface Task<T> {
  /** The result; rejects with `Ended` as soon as this one no longer waits. Without anybody waiting, the work is left off. */
  for(asked: Asked): Promise<T>;
  /** Done, failed, or left off: nobody can join any more. */
  isOver(): boolean;
}

/** Runs all long work of a session, piece by piece, the most urgent first. */
export interface Runner {
  start<T>(work: Pieces<T>): Task<T>;
}

/** Does long work in pieces among that of others; rejects with `Ended` as soon as nobody waits for the answer. */
export type Work = <T>(pieces: Pieces<T>) => Promise<T>;

interface Entry {
  readonly askers: Set<Asked>;
  /** Pieces so far. */
  pieces: number;
  /** Does one piece; true: it was the last. */
  step(): boolean;
  leave(): void;
}

/** How long pieces go on before messages have their turn, ms: with one piece more, well below the 50 that are promised. */
export const TURN = 8;
/** Turns of the event loop without a message after which none is waiting to be read. */
const QUIET = 2;
/** Turns that a flood of messages may have in a row. */
const MOST_TURNS = 500;

/** @param served How many messages have reached their handlers so far. */
export function makeRunner(schedule: Pick<Schedule, 'turn' | 'now'>, served: () => number): Runner {
  const entries: Entry[] = [];
  let isRunning = false;

  const rest = async (): Promise<void> => {
    let quiet = 0;
    for (let turn = 0; turn < MOST_TURNS && quiet < QUIET; turn++) {
      const before = served();
      await schedule.turn();
      quiet = served() === before ? quiet + 1 : 0;
    }
  };

  const pump = async (): Promise<void> => {
    let since = schedule.now();
    for (let next = mostUrgent(entries); next; next = mostUrgent(entries)) {
      if (next.step()) entries.splice(entries.indexOf(next), 1);
      if (entries.length === 0 || schedule.now() - since < TURN) continue;
      await rest();
      since = schedule.now();
    }
    isRunning = false;
  };

  return {
    start<T>(work: Pieces<T>): Task<T> {
      let isOver = false;
      let resolve: (value: T) => void = () => {};
      let reject: (error: unknown) => void = () => {};
      const result = new Promise<T>((yes, no) => {
        resolve = yes;
        reject = no;
      });
      // Whoever waits hears of a failure; where nobody does, it is nobody's.
      result.catch(() => {});
      const entry: Entry = {
        askers: new Set(),
        pieces: 0,
        step() {
          entry.pieces++;
          try {
            const step = work.next();
            if (!step.done) return false;
            resolve(step.value);
          } catch (error) {
            reject(error);
          }
          isOver = true;
          return true;
        },
        leave() {
          isOver = true;
          work.return(undefined as T);
        },
      };
      entries.push(entry);
      return {
        isOver: () => isOver,
        for(asked) {
          entry.askers.add(asked);
          if (!isRunning) {
            isRunning = true;
            void Promise.resolve().then(pump);
          }
          return asked.until(result);
        },
      };
    },
  };
}

/** Of equally urgent work what has had the fewest pieces, so that short work does not wait for long. What nobody waits for is taken out. */
function mostUrgent(entries: Entry[]): Entry | null {
  let best: Entry | null = null;
  let urgency = Number.POSITIVE_INFINITY;
  for (let i = 0; i < entries.length; i++) {
    const entry = entries[i] as Entry;
    let own = Number.POSITIVE_INFINITY;
    for (const asked of entry.askers) {
      if (asked.ended) entry.askers.delete(asked);
      else own = Math.min(own, asked.urgency);
    }
    if (own === Number.POSITIVE_INFINITY) {
      entries.splice(i--, 1);
      entry.leave();
    } else if (own < urgency || (own === urgency && best && entry.pieces < best.pieces)) {
      best = entry;
      urgency = own;
    }
  }
  return best;
}

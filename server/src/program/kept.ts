import type { View } from '../rules/rule.ts';
import type { State } from '../simulate/state.ts';
import { type ProgramContext, type ProgramPiece, type RanPiece, viewOf, viewOfRun } from './context.ts';
import { type Collector, tellOf, type Which } from './findings.ts';

/** The lines that went through the general simulator, for the rules. */
export interface Kept {
  /**
   * @param ran The same lines as they have been run.
   * @param goesOn Its end belongs to the line behind it, as a remark does that ignores a rule there.
   */
  add(piece: ProgramPiece, ran: RanPiece, goesOn: boolean): void;
  /** More lines have come than are kept in one part. */
  isLong(): boolean;
  /** Hands all that is left to the rules. `leftOut`: lines with a command, and without a number, that were only counted. */
  finish(leftOut: number): void;
}

/** So many lines are kept for the rules that look at a whole program; of a longer one the first and the last. */
export const MOST_KEPT = 1900;
/** A piece of so many lines is looked at by itself, as it has been run; shorter ones together, that many lines at once. */
const ALONE = 16;
const TOGETHER = 256;
/** What belongs together is parted only where it is longer than so many times what is looked at together. */
const LONGER = 4;

/**
 * Keeps lines for the rules, in bounded memory. While all are there, all rules see them at once. Once there are too many,
 * the rules of single lines see them as they come, and those of a whole program the first part and the last two.
 * @param most How many lines a part has.
 */
export function keptPieces(
  context: ProgramContext,
  found: Collector,
  start: State,
  ignores: ReadonlySet<string>,
  most: number,
): Kept {
  const head: ProgramPiece[] = [];
  let before: ProgramPiece[] = [];
  let now: ProgramPiece[] = head;
  let rows = 0;
  /** Short pieces behind the first part that no rule has seen. */
  let waiting: ProgramPiece[] = [];
  let waitingRows = 0;
  /** The last piece belongs to the next one. */
  let joined = false;

  const add = (pieces: readonly ProgramPiece[], which: Which, view?: View): void => {
    const begin = which === 'line' ? (pieces[0]?.begin ?? start) : start;
    tellOf(view ?? viewOf(context, pieces, begin), pieces, which, ignores, (rule, placed) => {
      // Whether a comment is of use can only be told where all lines are there.
      if (which !== 'whole' || rule !== 'unused-ignore') found.tell(rule, placed);
    });
  };

  const flush = (): void => {
    if (waiting.length > 0) add(waiting, 'line');
    waiting = [];
    waitingRows = 0;
  };

  const show = (piece: ProgramPiece, ran: RanPiece, goesOn: boolean): void => {
    if (piece.lines >= ALONE && !goesOn && !joined) {
      flush();
      add([piece], 'line', viewOfRun(context, ran));
      return;
    }
    waiting.push(piece);
    waitingRows += piece.lines;
    if (waitingRows >= TOGETHER * (goesOn ? LONGER : 1)) flush();
  };

  return {
    add(piece, ran, goesOn) {
      const room = joined ? most + LONGER * TOGETHER : most;
      if (rows + piece.lines > room && rows > 0) {
        if (now === head) add(head, 'line');
        else before = now;
        now = [];
        rows = 0;
      }
      now.push(piece);
      rows += piece.lines;
      if (now !== head) show(piece, ran, goesOn);
      joined = goesOn;
    },
    isLong: () => now !== head,
    finish(leftOut) {
      if (now === head) add(head, 'all', { ...viewOf(context, head, start), leftOut });
      else {
        flush();
        add([...head, ...before, ...now], 'whole');
      }
    },
  };
}

import type { State } from '../simulate/state.ts';
import type { Context, Piece } from './context.ts';
import { type Collector, findingsOf } from './findings.ts';

/** The lines that went through the general simulator, for the rules. */
export interface Kept {
  add(piece: Piece): void;
  /** Hands all that is left to the rules. */
  finish(): void;
}

/** So many lines are kept for the rules that look at a whole program; of a longer one the first and the last. */
const MOST = 1900;

/**
 * Keeps lines for the rules, in bounded memory. While all are there, all rules see them at once. Once there are too many,
 * the rules of single lines see them part by part, and those of a whole program the first part and the last two.
 */
export function keptPieces(context: Context, found: Collector, start: State, ignores: ReadonlySet<string>): Kept {
  const head: Piece[] = [];
  let before: Piece[] = [];
  let now: Piece[] = head;
  let rows = 0;

  const add = (pieces: readonly Piece[], which: 'line' | 'whole' | 'all'): void => {
    // Whether a comment is of use can only be told where all lines are there.
    for (const finding of findingsOf(context, pieces, start, which, ignores))
      if (which !== 'whole' || finding.rule !== 'unused-ignore') found.add(finding);
  };

  return {
    add(piece) {
      if (rows + piece.lines > MOST && rows > 0) {
        add(now, 'line');
        before = now === head ? [] : now;
        now = [];
        rows = 0;
      }
      now.push(piece);
      rows += piece.lines;
    },
    finish() {
      if (now === head) add(head, 'all');
      else {
        add(now, 'line');
        add([...head, ...before, ...now], 'whole');
      }
    },
  };
}

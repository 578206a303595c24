import type { State } from '../simulate/state.ts';
import type { Trace } from '../simulate/trace.ts';
import type { Context, Piece } from './context.ts';
import { findingsOf } from './findings.ts';

/** Texts of lines that change nothing which is followed, and of which no rule has anything to say. */
export interface Neutral {
  has(text: string): boolean;
  /** Takes note of lines that have just been run. */
  learn(piece: Piece, trace: Trace): void;
}

const MOST = 2000;
const LONGEST = 200;

/**
 * Programs repeat themselves: an acceleration is set anew before every wall, in two or three ways in all. Lines without
 * any effect on the state mean the same wherever they stand, so that the rules need to see each text once.
 */
export function neutralLines(context: Context, start: State): Neutral {
  const known = new Map<string, boolean>();
  const none = new Set<string>();
  return {
    has: (text) => known.get(text) ?? false,
    learn(piece, { steps, end }) {
      const { text } = piece;
      if (known.size >= MOST || text.length > LONGEST || known.has(text) || steps.length === 0) return;
      const { catalog, machine } = context;
      const quiet = steps.every(
        ({ command: { record, code, node }, move }) =>
          record !== null && record.effects.length === 0 && !move && !node.named && !catalog.isMissing(code),
      );
      const plain = !/[{%*]|^[ \t]*N|bookend/im.test(text) && (machine === null || end.stopped === false);
      const is = quiet && plain && findingsOf(context, [piece], start, 'line', none).length === 0;
      known.set(text, is);
    },
  };
}

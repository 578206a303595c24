import { isZero } from '../rules/heatSteps.ts';
import type { State } from '../simulate/state.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import type { Context, Piece } from './context.ts';
import { findingsOf } from './findings.ts';

/** What lines do of which no rule has anything to say: nothing that is followed, or only set E to zero. */
export type Mild = 'nothing' | 'zero E';

/** Texts of lines that do next to nothing wherever they stand. */
export interface Neutral {
  /** null: the lines have to be run. */
  of(text: string): Mild | null;
  /** Takes note of lines that have just been run. */
  learn(piece: Piece, trace: Trace): void;
}

const MOST = 2000;
const LONGEST = 200;

/**
 * Programs repeat themselves: an acceleration is set anew before every wall, in two or three ways in all, and E before every
 * layer. Such lines mean the same wherever they stand, so that the rules need to see each text once.
 */
export function neutralLines(context: Context, start: State): Neutral {
  const known = new Map<string, Mild | null>();
  const none = new Set<string>();
  return {
    of: (text) => known.get(text) ?? null,
    learn(piece, { steps, end }) {
      const { text } = piece;
      if (known.size >= MOST || text.length > LONGEST || known.has(text) || steps.length === 0) return;
      const { catalog, machine } = context;
      const mild = steps.every((step) => isMild(step) && !catalog.isMissing(step.command.code));
      const plain = !/[{%*]|^[ \t]*N|bookend/im.test(text) && (machine === null || end.stopped === false);
      const is = mild && plain && findingsOf(context, [piece], start, 'line', none).length === 0;
      const does = steps.some(({ command }) => command.record?.effects.length) ? 'zero E' : 'nothing';
      known.set(text, is ? does : null);
    },
  };
}

function isMild({ command: { record, node, words }, move }: Step): boolean {
  if (record === null || move || node.named) return false;
  const [effect, more] = record.effects;
  if (!effect) return true;
  const [word, other] = words;
  return !more && effect.do === 'set-position' && word?.key === 'E' && !other && isZero(word);
}

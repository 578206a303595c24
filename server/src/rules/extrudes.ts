import type { Known } from '../placeholders/bounds.ts';
import { scale } from '../placeholders/bounds.ts';
import { filamentArea } from '../simulate/bead.ts';
import type { Move } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { mayDoAnything } from './heatSteps.ts';
import { inJobs, type Jobs, most, not } from './jobs.ts';
import type { View } from './rule.ts';
import { filledIn, wordMeant, wordsOf } from './words.ts';

// What rules about filament have in common.

/** Filament of the machine; 1.75 mm where no machine is chosen. Common practice, no source. */
export const filamentDiameter = ({ machine }: Pick<View, 'machine'>): number => machine?.filament.diameter ?? 1.75;

/** mm3 of a length of filament (volume = area x length). */
export const volumeOf = (view: Pick<View, 'machine'>, length: Known): Known =>
  scale(length, filamentArea(filamentDiameter(view)));

/** A text's own move, with the E that it may have; null for homing and for the machine's own commands. */
export const ownMove = ({ move, command }: Step): Move | null =>
  move && move.kind !== 'home' && !command.node.named ? move : null;

/** Whether a step's words feed or pull filament. */
export const hasE = (step: Step): boolean => ownMove(step) !== null && givesE(step) !== 'none';

/** In how many of the jobs that run a step its E has a value: sections may leave the letter alone. */
export function givesE(step: Step): Jobs {
  const word = wordMeant(step, 'filament');
  const reading = word && filledIn(step, word);
  return word?.value ? (reading ? not(inJobs(reading.isEmpty)) : 'all') : 'none';
}

/**
 * Whether what E reads has been set or changed since the beginning, after this step: by G92, by a move, or by a command
 * that could do anything.
 */
export function readsAfter(was: Jobs, step: Step): Jobs {
  const { record, node } = step.command;
  const words = wordsOf(step);
  // A bare number, which is no command, leaves all as it was.
  if (!record && node.code === null && !mayDoAnything(step)) return was;
  const sets =
    !record || record.effects.some(({ do: does }) => does === 'set-position')
      ? !record || words.length === 0 || wordMeant(step, 'reading e') !== undefined
      : hasE(step);
  return sets ? most(was, step, givesE(step) === 'some' ? 'some' : 'all') : was;
}

import { isConvex } from '../geometry/polygon.ts';
import type { Area } from '../machine/machine.ts';
import { isUnplaced } from '../simulate/totals.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import { once } from '../text/once.ts';
import type { Unstated, View } from './rule.ts';

/** Why rules about the machine are not asked; null where there is one. */
export const noMachine = (view: View): Unstated | null => (view.machine ? null : NO_MACHINE);
const NO_MACHINE: Unstated = { unstated: 'machine', reason: 'no machine is chosen' };

/** A rule that judges by a fact of the machine file is not asked where the file does not state it. */
export const unstated = (fact: string, reason: string): Unstated => ({ unstated: fact, reason });

/** Why rules about the run cannot tell: part of the text was not followed. */
export const notFollowed = (view: View): string | null =>
  view.tree.rest
    ? 'only part of the text was checked'
    : view.trace.cut
      ? 'the sections are nested too deep, or the lists too long, to be followed'
      : null;

const allPlaced = once(({ steps, cut }: Trace) => !cut && !steps.some(isUnplaced));

/** Why rules about places cannot tell: moves to or from somewhere that is not known. */
export function notPlaced(view: View): string | null {
  // Mostly all are known, which is seen without the sums.
  if (view.leftOut === undefined && allPlaced(view.trace)) return notFollowed(view);
  const moves = view.trace.totals.unplaced;
  if (moves === 0) return notFollowed(view);
  return `where ${moves === 1 ? 'one move leads' : `${moves} moves lead`} is not known`;
}

/** The reason, where some step has something that is not known. */
export function unknownIn(view: View, unknown: (step: Step) => boolean, reason: string): string | null {
  return view.trace.steps.some(unknown) ? reason : notFollowed(view);
}

/**
 * Why a rule about filament is not asked: each step in which it does not know comes before the mode of E is stated. That is
 * one gap, which `e-mode-unset` tells; a mode that differs between jobs is none. In a program the mode is its own affair.
 */
export function modeUnstated(view: View, unknown: (step: Step) => boolean): Unstated | null {
  if (view.role === 'program' || view.trace.cut || view.trace.start.relativeE !== null) return null;
  let [isOpen, isStated] = [false, false];
  for (const step of view.trace.steps) {
    isStated ||= step.before.relativeE !== null;
    if (unknown(step)) {
      if (isStated) return null;
      isOpen = true;
    }
    isStated ||= step.after.relativeE !== null;
  }
  return isOpen ? NO_MODE : null;
}
const NO_MODE: Unstated = {
  unstated: 'M82 or M83',
  reason: 'whether E is a step (M83) or a place (M82) has not been stated where filament is moved',
};

/** Why the way of a move cannot be judged where its beginning is not known: round a hollow outline, or past a box. */
export function startsSomewhere(view: View, area: Area | null): string | null {
  if (area && (area.shape !== 'polygon' || isConvex(area.points))) return null;
  const open = view.trace.steps.some(
    ({ move }) => move && move.kind !== 'home' && (move.moves.x || move.moves.y) && (!move.from.x || !move.from.y),
  );
  return open ? 'where a move begins is not known' : null;
}

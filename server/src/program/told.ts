import type { Machine } from '../machine/machine.ts';
import { RULES } from '../rules/all.ts';
import type { Once, Rule } from '../rules/rule.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';

// Some rules tell a thing once: that an axis moves before it is homed, that filament moves cold. What they have told
// already need not be looked at again, so that a program which never homes is checked as fast as others.

const TELLING_ONCE = RULES.flatMap(({ once }: Rule) => once ?? []);

/** What each of these rules has told of a program so far. */
export type ToldSoFar = ReadonlyMap<Once, Set<unknown>>;

export const newTold = (): ToldSoFar => new Map(TELLING_ONCE.map((once) => [once, new Set()]));

/** Takes note of what the rules tell at this step. */
export function noteStep(told: ToldSoFar, step: Step, machine: Machine | null): void {
  for (const [once, own] of told) once.note(step, machine, own);
}

/** Whether this may be done from a state without any rule having something new to say of it. */
export function isQuiet(told: ToldSoFar, what: Once['of'], state: State, machine: Machine | null): boolean {
  for (const [once, own] of told) if (once.of === what && !once.isQuiet(state, machine, own)) return false;
  return true;
}

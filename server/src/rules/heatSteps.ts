import { targetKeys } from '../commands/quantity.ts';
import type { Effect, HeaterKind } from '../machine/effect.ts';
import type { Known } from '../placeholders/bounds.ts';
import { subtract } from '../placeholders/bounds.ts';
import type { Heater, State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import { nozzleInUse } from './heaters.ts';
import { atLeast, both, either, inJobs, isAbove, type Jobs, not } from './jobs.ts';
import type { View } from './rule.ts';
import { numberOfWord, wordIn, wordsOf } from './words.ts';

// What rules about heat ask of a step.

type Heat = Extract<Effect, { do: 'heat' }>;

/** Without a machine: filament begins to run out of a nozzle this hot by itself. Common practice, no source. */
const DRIPS = 175;

/** What heats and waits. */
export const WAIT: Readonly<Record<HeaterKind, string>> = { nozzle: 'M109', bed: 'M190', chamber: 'M191' };

/** From which heat on a nozzle drips, degrees C. */
export const dripsFrom = ({ machine }: View): number => machine?.heat.nozzle.minExtrude ?? DRIPS;

/** Whether this text brings the machine from cold to printing, or holds that: nothing is heated when it begins. */
export const beginsCold = ({ role }: View): boolean => role === 'start' || role === 'program';

export const heatsOf = (step: Step): readonly Heat[] =>
  (step.command.record?.effects ?? []).filter((effect): effect is Heat => effect.do === 'heat');

/** The kinds of heater that a step waits for. */
export function waitsFor(step: Step): readonly HeaterKind[] {
  const kinds: HeaterKind[] = [];
  for (const effect of step.command.record?.effects ?? []) {
    if (effect.do === 'await-heat') kinds.push(...effect.heaters);
    else if (effect.do === 'heat' && effect.wait) kinds.push(effect.heater);
  }
  return kinds;
}

/** The word that gives a heat command its temperature: S, else R for cooling. A bare tag may become any word. */
export function targetWord(step: Step, heat: Heat): Word | undefined {
  const [key, coolKey] = targetKeys(heat);
  return wordsOf(step).find((w) => w.key === key || w.key === '') ?? wordIn(step, coolKey);
}

/** In how many of the jobs that run a step this word of it switches off. */
export function targetIsZero(step: Step, word: Word): Jobs {
  if (word.key === '') return 'some';
  const number = numberOfWord(step, word);
  if (number === undefined) return 'none';
  return not(isAbove(number, 0));
}

/** Whether a word says zero in so many digits. */
export const isZero = ({ value }: Word): boolean => value?.type === 'number' && value.number === 0;

export const heaterOf = (state: State, kind: HeaterKind): Heater | null =>
  kind === 'nozzle' ? nozzleInUse(state) : state[kind];

/** Whether the nozzle in use has been waited for and is hot enough to drip. */
export function drips(view: View, state: State): Jobs {
  const nozzle = nozzleInUse(state);
  return nozzle ? both(inJobs(nozzle.awaited), atLeast(nozzle.target, dripsFrom(view))) : 'some';
}

/** Whether a step that waits for a heater has to: it is on, and was not there already. */
export function mustWait(step: Step, kind: 'bed' | 'chamber'): Jobs {
  const [before, { target }] = [step.before[kind], step.after[kind]];
  return both(isAbove(target, 0), not(both(inJobs(before.awaited), notAbove(target, before.target))));
}

function notAbove(a: Known, b: Known): Jobs {
  return not(isAbove(subtract(a, b), 0));
}

export const allHomed = ({ homed: { x, y, z } }: State): Jobs => both(inJobs(x), both(inJobs(y), inJobs(z)));

/** Whether an unknown command may have done anything. One that left the state as it was is a bare number. */
export const mayDoAnything = ({ command, before, after }: Step): boolean =>
  command.record === null && (command.node.named || (command.node.code === null && before !== after));

/** In every step from here on back to the beginning: what has come behind it. Index as in `steps`. */
export function laterThan(steps: readonly Step[], makes: (step: Step) => Jobs): readonly Jobs[] {
  const later: Jobs[] = [];
  let now: Jobs = 'none';
  for (let i = steps.length - 1; i >= 0; i--) {
    later[i] = now;
    const step = steps[i] as Step;
    const made = makes(step);
    now = either(now, step.certain ? made : both(made, 'some'));
  }
  return later;
}

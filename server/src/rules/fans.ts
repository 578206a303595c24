import type { BoundCommand } from '../commands/bind.ts';
import { wordFor } from '../commands/wordFor.ts';
import type { Step } from '../simulate/trace.ts';
import { mayDoAnything } from './heatSteps.ts';
import { inJobs, type Jobs, turned } from './jobs.ts';

/**
 * Whether the fan that cools the part runs after this step. `was`: before it. A fan with a number of its own (P, other
 * than 0) is another one.
 */
export function fanAfter(was: Jobs, step: Step): Jobs {
  if (mayDoAnything(step)) return 'some';
  if (!step.command.record?.effects.some((e) => e.do === 'fan') || ofAnotherFan(step.command)) return was;
  return turned(was, step, inJobs(step.after.fan));
}

/** Whether a command picks another fan than the part's. */
export function ofAnotherFan(command: BoundCommand): boolean {
  const fan = wordFor(command, 'fan');
  return fan !== undefined && !(fan.value?.type === 'number' && fan.value.number === 0);
}

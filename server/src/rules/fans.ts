import type { Step } from '../simulate/trace.ts';
import { mayDoAnything } from './heatSteps.ts';
import { inJobs, type Jobs, turned } from './jobs.ts';

/**
 * Whether the fan that cools the part runs after this step. `was`: before it. A fan with a number of its own (P, other
 * than 0) is another one.
 */
export function fanAfter(was: Jobs, step: Step): Jobs {
  if (mayDoAnything(step)) return 'some';
  const { record, words } = step.command;
  if (!record?.effects.some((e) => e.do === 'fan')) return was;
  const other = words.find((w) => w.key === 'P');
  if (other && !(other.value?.type === 'number' && other.value.number === 0)) return was;
  return turned(was, step, inJobs(step.after.fan));
}

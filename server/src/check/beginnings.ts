import { jobEnv } from '../placeholders/environment.ts';
import type { Job } from '../placeholders/vocabulary.ts';
import type { View } from '../rules/rule.ts';
import { type Halt, simulating } from '../simulate/simulate.ts';
import type { Trace } from '../simulate/trace.ts';
import type { Pieces } from '../text/pieces.ts';
import type { Counting } from './needed.ts';

/** A run of one job, and how many of its steps were run for it. */
export interface ExactRun {
  readonly trace: Trace;
  readonly own: number;
}

/** Steps of a run of which beginnings are kept. */
const MOST_STEPS_KEPT = 2000;

/**
 * Runs of a text for many jobs. What stands in front of the first name in which two jobs differ is run once: a job is
 * taken up where the longest beginning ends that an earlier one has had.
 * @param telling The names that make a difference; a job is told from another by them.
 */
export function runsOf(view: View, telling: readonly string[], counting: Counting): (job: Job) => Pieces<ExactRun> {
  // Lists, whose elements' names go by others, count from the first item on.
  const itemOf = (name: string): number => counting.first.get(name) ?? 0;
  const names = [...telling].sort((a, b) => itemOf(a) - itemOf(b));
  // In front of the item with the next name all names before it have been met.
  const marks = new Map<number, number>();
  names.forEach((name, met) => {
    const item = itemOf(name);
    if (item > 0 && !marks.has(item)) marks.set(item, met);
  });
  // Each beginning that is kept keeps its run: of a long text few jobs are run, and all of them at once would be too much.
  const at = new Set(view.trace.steps.length > MOST_STEPS_KEPT ? [] : marks.keys());
  const halts = new Map<string, Halt>();
  return function* (job) {
    const keys = [''];
    for (const name of names) keys.push(`${keys.at(-1)} ${JSON.stringify(job.get(name))}`);
    const keyAt = (item: number): string => `${item}${keys[marks.get(item) ?? 0]}`;
    let from: Halt | null = null;
    for (const item of at) from = halts.get(keyAt(item)) ?? from;
    const halt = (one: Halt): void => {
      halts.set(keyAt(one.item), one);
    };
    const course = { from, marks: at, halt };
    const trace = yield* simulating(view, jobEnv(view.vocabulary, job), undefined, course);
    return { trace, own: trace.steps.length - (from?.count.steps ?? 0) };
  };
}

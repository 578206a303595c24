import type { Step } from '../simulate/trace.ts';
import { modeUnstated, notFollowed } from './blind.ts';
import { linesAbove } from './edits.ts';
import { givesE, hasE, readsAfter } from './extrudes.ts';
import { beginsAnywhere } from './handOver.ts';
import type { Jobs } from './jobs.ts';
import type { Rule } from './rule.ts';
import { wordSpan } from './say.ts';

/** E as a place, counted from a place that is not known. */
export const eNotZeroed: Rule = {
  id: 'e-not-zeroed',
  severity: 'warning',
  title: 'E counts from an unknown place',
  scope: 'line',
  check(view, report) {
    if (!beginsAnywhere(view)) return;
    let read: Jobs = 'none';
    for (const step of view.trace.steps) {
      const { relativeE, at } = step.before;
      // In a mode that was never stated nobody knows: `e-mode-unset` tells that.
      if (relativeE === false && !at.e && hasE(step)) {
        report({
          span: wordSpan(step, 'filament'),
          step,
          certain: read === 'none' && givesE(step) === 'all',
          message: `E is a place here (M82), and what it reads when the sequence begins is not known, so how much filament this moves is not known either. Set it above: G92 E0${view.role === 'start' || view.role === 'end' ? '' : ' spoils the job’s count, so rather use M83, and M82 behind it'}.`,
        });
      }
      read = readsAfter(read, step);
      if (read === 'all') return;
    }
  },
  blind: (view) =>
    beginsAnywhere(view) ? (modeUnstated(view, needsMode) ?? modeOpen(view) ?? notFollowed(view)) : null,
  // Within a job the count belongs to the job.
  fix: (view, { span }) =>
    view.role === 'start' || view.role === 'end'
      ? [{ title: 'Add G92 E0', edits: [linesAbove(view, span.start, ['G92 E0'])], safe: false, preferred: true }]
      : [],
};

/** Whether what E reads matters and nobody knows whether it is read. */
const needsMode = (step: Step): boolean => step.before.relativeE === null && !step.before.at.e && hasE(step);

function modeOpen(view: Parameters<Rule['check']>[0]): string | null {
  let read: Jobs = 'none';
  for (const step of view.trace.steps) {
    if (needsMode(step)) return 'whether E is a step or a place is not known';
    read = readsAfter(read, step);
    if (read === 'all') return null;
  }
  return null;
}

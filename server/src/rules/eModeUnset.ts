import { notFollowed } from './blind.ts';
import { linesAbove } from './edits.ts';
import { hasE } from './extrudes.ts';
import { both, type Jobs, most, not } from './jobs.ts';
import type { Fix, Rule } from './rule.ts';
import { wordSpan } from './say.ts';

/** E in a mode that the sequence has not stated. */
export const eModeUnset: Rule = {
  id: 'e-mode-unset',
  severity: 'info',
  title: 'E is used before its mode is stated',
  why: 'E is either a step (M83) or a place counted from the last zero (M82), and G90 says nothing of it on most controllers. E-2 is a short pull in the one mode; in the other it draws back everything that the job has fed, until the filament is ground through. State the mode in every sequence that uses E; in one that runs within a job, put back the mode that the job is in.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\nG1 X50 E5 F1200\n' },
  good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X50 E5 F1200\n' },
  check(view, report) {
    if (view.role === 'program') return;
    const governs = view.machine?.controller.distanceGovernsE ?? false;
    // Stated before, or told already.
    let settled: Jobs = 'none';
    for (const step of view.trace.steps) {
      const { command } = step;
      const states = command.record?.effects.some(
        ({ do: does }) => does === 'extrusion-mode' || (governs && does === 'distance'),
      );
      if (states) settled = most(settled, step, 'all');
      else if (hasE(step)) {
        const word = command.words.find(({ key }) => key === 'E');
        const there: Jobs = word?.section === command.node.section ? 'all' : 'some';
        const happens = both(not(settled), there);
        report({
          span: wordSpan(step, 'E'),
          step,
          certain: happens === 'all',
          ...(view.role === 'end' ? { severity: 'warning' } : {}),
          message: `Whether E is a step (M83) or a place (M82) has not been stated, so ${view.role === 'start' ? 'it depends on what ran before' : 'it depends on the job'}. Add M83 above, if this is a step.`,
        });
        settled = most(settled, step, there);
      }
      if (settled === 'all') return;
    }
  },
  blind: (view) => (view.role === 'program' ? null : notFollowed(view)),
  // Within a job the mode belongs to the job.
  fix: (view, { span }): Fix[] =>
    view.role === 'start' || view.role === 'end'
      ? [['M83', 'is a step', true] as const, ['M82', 'is a place', false] as const].map(
          ([code, means, preferred]) => ({
            title: `Add ${code}: E ${means}`,
            edits: [linesAbove(view, span.start, [code])],
            safe: false,
            preferred,
          }),
        )
      : [],
};

import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { ofAnotherFan } from './fans.ts';
import { addAtEnd, does, tellLeft } from './handOver.ts';
import type { Jobs } from './jobs.ts';
import type { Rule } from './rule.ts';

/** A start that hands over with the part's fan on. */
export const fanHandedOver: Rule = {
  id: 'fan-handed-over',
  severity: 'hint',
  title: 'The first layer begins with the fan on',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (view.role !== 'start') return;
    tellLeft(
      view,
      {
        sets: isPartFan,
        leaves: ({ after }) => on(after.fan),
        // Another fan than the part's (M106 P2) stands in the state too: what the last setter says counts.
        end: view.trace.cut || view.trace.end.fan === null ? 'some' : 'all',
        say: () => ({
          message:
            'The start sequence hands over with the fan on, and the first layer sticks better without it. Add M107 at the end, unless this filament wants it.',
        }),
      },
      report,
    );
  },
  blind: notFollowed,
  fix: (view) => addAtEnd(view, 'M107', 'M107', 'fan', false),
};

/** P picks another fan, one of the machine's own as a rule. */
const isPartFan = (step: Step): boolean => does(step, 'fan') && !ofAnotherFan(step.command);

const on = (fan: boolean | null): Jobs => (fan === null ? 'some' : fan ? 'all' : 'none');

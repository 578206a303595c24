import { notFollowed } from './blind.ts';
import { addAtEnd, does, jobFollows, tellLeft } from './handOver.ts';
import type { Jobs } from './jobs.ts';
import type { Rule } from './rule.ts';

/** A sequence that hands over while F counts moves a minute. */
export const feedModeLeft: Rule = {
  id: 'feed-mode-left',
  severity: 'error',
  title: 'The job’s speeds would be read as times',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (!jobFollows(view)) return;
    tellLeft(
      view,
      {
        sets: (step) => does(step, 'feed-mode'),
        leaves: ({ after }) => inverse(after.inverseFeed),
        end: inverse(view.trace.end.inverseFeed),
        say: () => ({
          message: `The ${view.role} sequence hands over in inverse time mode (G93), and the job’s F is in mm a minute: its moves would be over in no time. Add G94 at the end.`,
        }),
      },
      report,
    );
  },
  blind: (view) =>
    jobFollows(view) && view.trace.end.inverseFeed === null
      ? 'how F is read at the end is not known'
      : notFollowed(view),
  fix: (view) => addAtEnd(view, 'G94', 'G94', 'feed-mode', true),
};

const inverse = (is: boolean | null): Jobs => (is === null ? 'some' : is ? 'all' : 'none');

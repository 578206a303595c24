import { notFollowed } from './blind.ts';
import { addAtEnd, does, jobFollows, tellLeft } from './handOver.ts';
import type { Jobs } from './jobs.ts';
import type { Rule, View } from './rule.ts';

/** A sequence that hands over with arcs in an upright plane. */
export const planeLeft: Rule = {
  id: 'plane-left',
  severity: 'error',
  title: 'The arcs of the job would stand upright',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (!matters(view)) return;
    const { plane } = view.trace.end;
    tellLeft(
      view,
      {
        sets: (step) => does(step, 'plane'),
        leaves: ({ after }) => upright(after.plane),
        end: upright(plane),
        say: ({ command }) => ({
          message: `The ${view.role} sequence hands over with arcs in the plane of ${command.code}, and the job’s arcs lie in X and Y (G17): they would go up and down instead. Add G17 at the end.`,
        }),
      },
      report,
    );
  },
  blind: (view) =>
    matters(view) && view.trace.end.plane === null
      ? 'in which plane arcs are read at the end is not known'
      : notFollowed(view),
  fix: (view) => addAtEnd(view, 'G17', 'G17', 'plane', true),
};

const matters = (view: View): boolean => jobFollows(view) && view.machine?.controller.arcs !== false;
const upright = (plane: string | null): Jobs => (plane === null ? 'some' : plane === 'xy' ? 'none' : 'all');

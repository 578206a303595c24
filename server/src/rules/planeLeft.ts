import { notFollowed } from './blind.ts';
import { addAtEnd, does, jobFollows, tellLeft } from './handOver.ts';
import type { Jobs } from './jobs.ts';
import type { Rule, View } from './rule.ts';

/** A sequence that hands over with arcs in an upright plane. */
export const planeLeft: Rule = {
  id: 'plane-left',
  severity: 'error',
  title: 'The arcs of the job would stand upright',
  why: 'G2 and G3 are read in the plane that was chosen last (NISTIR 6556 3.5.6). A job draws its arcs flat, in X and Y; handed over in G18 or G19, its arcs turn up into Z: the nozzle leaves the part and comes down on it again, or into the bed. Go back to G17 behind an upright arc, and stay near the machine when a sequence with arcs runs for the first time.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nG18\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG17\nM109 S210\n' },
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

import { shownCode } from '../commands/bind.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { linesAbove } from './edits.ts';
import { inPieces } from './inPieces.ts';
import { both, type Jobs, most, not } from './jobs.ts';
import type { Rule } from './rule.ts';
import { wordMeant } from './words.ts';

/** A move at speed before any speed has been given. */
export const noFeed: Rule = inPieces({
  id: 'no-feed',
  severity: 'info',
  title: 'A move before any speed is given',
  scope: 'whole',
  *check(view, report) {
    const pace = new Pace();
    if (view.role !== 'start' && view.role !== 'program') return;
    // Given before, or told already: there is no more to tell.
    let settled: Jobs = 'none';
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      const { move, after, command } = step;
      const given: Jobs = after.feed || wordMeant(step, 'feed') ? 'all' : 'none';
      if (given !== 'all' && move && move.kind !== 'home' && !move.rapid && !command.node.named) {
        const happens = both(not(settled), not(given));
        report({
          span: command.node.codeSpan,
          step,
          certain: happens === 'all',
          message: `No speed has been given before this ${shownCode(command)}, so it runs at whatever was set last, or at the controller’s default. Add F in mm per minute: F6000 (100 mm/s) is usual for travel, F600 for Z.`,
        });
        settled = most(settled, step, happens);
      }
      settled = most(settled, step, given);
      if (settled === 'all') return;
    }
  },
  once: {
    of: 'moves',
    note({ move, after }, _, told) {
      if (move && move.kind !== 'home' && !move.rapid && !after.feed) told.add(SAID);
    },
    isQuiet: ({ feed }, _, told) => feed !== null || told.has(SAID),
  },
  blind: (view) => (view.role === 'start' || view.role === 'program' ? notFollowed(view) : null),
  fix: (view, { span }) => [
    {
      title: 'Set a slow speed above this line (F600, 10 mm/s)',
      edits: [linesAbove(view, span.start, ['G1 F600'])],
      safe: false,
      preferred: true,
    },
  ],
});

const SAID = 'said';

import { isBelow } from './jobs.ts';
import type { Rule } from './rule.ts';
import { aboutCommands, numberOf } from './settings.ts';

/** Moves allowed on axes that are not homed. */
export const unhomedAllowed: Rule = {
  id: 'unhomed-allowed',
  severity: 'warning',
  title: 'Moves allowed before homing',
  why: 'Some controllers refuse to move an axis that is not homed, since they do not know where it stands. M564 H0 takes that guard away: a move can then run into the end of the axis, the bed or a clip. Home first (G28). Where a short lift before homing is needed, allow only that, and put the guard back right behind it (M564 H1). Keep hands clear, and see the machine’s manual.',
  bad: { role: 'start', text: 'G21\nG90\nM564 H0\nG28\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nM109 S210\n' },
  ...aboutCommands(
    {
      M564(step) {
        const h = numberOf(step, 'H');
        if (h === undefined) return null;
        return {
          happens: isBelow(h, 0.5),
          message:
            'From here on axes move although nobody knows where they stand, and can run into their ends or the bed. Home first (G28), or put the guard back (M564 H1) right behind the moves that need it.',
        };
      },
    },
    () => 'M564 H1',
  ),
};

import { isBelow } from './jobs.ts';
import type { Rule } from './rule.ts';
import { aboutCommands, numberOf } from './settings.ts';

/** Moves allowed on axes that are not homed. */
export const unhomedAllowed: Rule = {
  id: 'unhomed-allowed',
  severity: 'warning',
  title: 'Moves allowed before homing',
  scope: 'line',
  awaitsRest: true,
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

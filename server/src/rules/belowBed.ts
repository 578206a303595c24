import { unknownIn } from './blind.ts';
import { isBelow } from './jobs.ts';
import type { Rule } from './rule.ts';
import { onTheMachine, range, wordSpan } from './say.ts';

/** Z below the bed's surface, where the machine file gives no limit to say so. */
export const belowBed: Rule = {
  id: 'below-bed',
  severity: 'error',
  title: 'The nozzle is driven into the bed',
  check(view, report) {
    if (!watches(view)) return;
    for (const step of view.trace.steps) {
      const { move } = step;
      if (!move?.moves.z || move.kind === 'home' || !move.to.z || move.to.z.lo >= -1e-6) continue;
      report({
        span: wordSpan(step, 'place z'),
        step,
        certain: isBelow(move.to.z, -1e-6) === 'all',
        message: `Z ${range(move.to.z)}${onTheMachine(step, ['z'])} is below 0, where the nozzle meets the bed. Stay at 0 or above${view.machine ? ', or state reach.bottom in the machine file' : ''}.`,
      });
    }
  },
  blind: (view) =>
    watches(view)
      ? unknownIn(
          view,
          ({ move }) => !!move?.moves.z && move.kind !== 'home' && !move.to.z,
          'how low a move goes is not known',
        )
      : null,
};

/** Whether no limit of the machine's own says it: then `beyond-reach` does. */
const watches = ({ machine }: Parameters<Rule['check']>[0]): boolean =>
  machine?.reach?.bottom === null || machine?.reach?.bottom === undefined;

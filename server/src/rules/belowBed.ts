import { unknownIn } from './blind.ts';
import { isBelow } from './jobs.ts';
import { HAIR } from './place.ts';
import type { Rule, View } from './rule.ts';
import { onTheMachine, range, wordSpan } from './say.ts';

/** Z below the bed's surface, where the machine file gives no limit to say so. */
export const belowBed: Rule = {
  id: 'below-bed',
  severity: 'error',
  title: 'The nozzle is driven into the bed',
  scope: 'line',
  check(view, report) {
    if (!watches(view)) return;
    for (const step of view.trace.steps) {
      const { move } = step;
      if (!move?.moves.z || move.kind === 'home' || !move.to.z || move.to.z.lo >= -HAIR) continue;
      report({
        span: wordSpan(step, 'place z'),
        step,
        certain: isBelow(move.to.z, -HAIR) === 'all',
        message: `Z ${range(move.to.z)}${onTheMachine(step, ['z'])} is below 0, where the nozzle meets the bed. Stay at 0 or above${view.machine ? ', or state reach.bottom in the machine file' : ''}.`,
      });
    }
  },
  ofMove: {
    beyond: 'places',
    says: ({ moves, to }, facts) => (watches(facts) && moves.z && to.z !== null && to.z.lo < -HAIR ? 1 : 0),
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
const watches = ({ machine }: Pick<View, 'machine'>): boolean =>
  machine?.reach?.bottom === null || machine?.reach?.bottom === undefined;

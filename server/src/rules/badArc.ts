import type { Step } from '../simulate/trace.ts';
import { unknownIn } from './blind.ts';
import type { Rule } from './rule.ts';
import { adviceIn, inMachineCoordinates } from './say.ts';
import { numberOfWord, wordMeant } from './words.ts';

const OF_PLANE = {
  xy: ['distance x', 'distance y'],
  zx: ['distance x', 'distance z'],
  yz: ['distance y', 'distance z'],
} as const;

/**
 * Whether an arc goes round its center and back to where it began, wherever that is: no word says where it ends, and the
 * center lies away from there (NISTIR 6556 3.5.3). Such words give an arc in every job.
 */
function isFullCircle(step: Step): boolean {
  const { plane } = step.before;
  if (plane === null || wordMeant(step, 'radius', 'place x', 'place y', 'place z')) return false;
  return OF_PLANE[plane].some((quantity) => {
    const word = wordMeant(step, quantity);
    const number = word && numberOfWord(step, word);
    return number ? number.lo > 0 || number.hi < 0 : false;
  });
}

/** A G2 or G3 that describes no arc. */
export const badArc: Rule = {
  id: 'bad-arc',
  severity: 'error',
  title: 'An arc that cannot be run',
  scope: 'line',
  check(view, report) {
    if (view.machine && !view.machine.controller.arcs) {
      for (const { node, record, code } of view.commands) {
        if (!record?.effects.some((e) => e.do === 'arc')) continue;
        report({
          span: node.codeSpan,
          message: `${view.machine.name} does not understand arcs (${code}), as its machine file says. ${adviceIn(view.role, 'Draw the arc as short straight moves.', 'without arcs')}`,
        });
      }
      return;
    }
    for (const step of view.trace.steps) {
      const { move } = step;
      if (move?.arcFault) report({ span: step.command.node.span, step, message: move.arcFault });
      // Words that depend on the job: exact jobs tell.
      else if (move?.kind === 'arc' && !move.arc && !isFullCircle(step))
        report({ span: step.command.node.span, step, certain: false, message: 'The words may give no arc.' });
    }
    for (const { node, record, line } of view.commands) {
      if (!record?.effects.some((e) => e.do === 'arc')) continue;
      if (inMachineCoordinates(line)) {
        report({
          span: node.codeSpan,
          message:
            'G53 (machine coordinates) goes with G0 and G1 only, not with an arc (NISTIR 6556 3.5.12). Move straight, or leave G53 out.',
        });
      }
    }
  },
  ofMove: {
    beyond: 'arcs',
    says: ({ arcFault }) => (arcFault ? 1 : 0),
  },
  blind: (view) =>
    unknownIn(
      view,
      (step) => {
        const { move } = step;
        return move?.kind === 'arc' && !move.arc && !move.arcFault && !move.length && !isFullCircle(step);
      },
      'an arc depends on places that are not known',
    ),
};

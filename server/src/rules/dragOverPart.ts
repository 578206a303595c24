import { machinePosition } from '../simulate/motion.ts';
import type { Rule } from './rule.ts';
import { num, wordSpan } from './say.ts';

/** A sideways move at the height of the part's top, or below it, before the nozzle has been lifted. */
export const dragOverPart: Rule = {
  id: 'drag-over-part',
  severity: 'error',
  title: 'The nozzle is dragged over the part',
  why: 'When an end sequence begins, the nozzle still touches the last layer. Moved sideways now, it drags a hot tip across the finished part, scars it or knocks it off the bed. Lift first, relative to where it stands (G91, G1 Z5, G90) or to the part’s top (G1 Z{{ part.top + 5 }}, kept within reach).',
  bad: { role: 'end', text: 'G21\nG90\nG1 X0 Y200 F6000\nM104 S0\nM140 S0\nM84\n' },
  good: { role: 'end', text: 'G21\nG91\nG1 Z5 F600\nG90\nG1 X0 Y200 F6000\nM104 S0\nM140 S0\nM84\n' },
  check(view, report) {
    if (view.role === 'start' || view.role === 'program') return;
    const top = view.trace.start.at.z;
    if (!top) return;
    for (const step of view.trace.steps) {
      const { move } = step;
      if (!move || move.kind === 'home' || !(move.moves.x || move.moves.y)) continue;
      const z = machinePosition(step.before).z;
      if (!z) return;
      // The very height that the sequence began with is the part's top in every job.
      const untouched = step.before.at.z === top;
      if (!untouched && z.lo > top.hi) return;
      const certain = untouched || z.hi <= top.lo;
      report({
        span: wordSpan(step, move.moves.x ? 'X' : 'Y'),
        step,
        certain,
        message: `The nozzle moves sideways while it is still down at the part’s top${untouched ? '' : ` (Z ${num(z.hi)}, the part is ${num(top.lo)} high)`}, and drags over the part. Lift it first, for instance G91, G1 Z5, G90.`,
      });
      if (certain) return;
    }
  },
};

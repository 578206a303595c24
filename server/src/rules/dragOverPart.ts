import { machinePosition } from '../simulate/motion.ts';
import type { Move, State } from '../simulate/state.ts';
import type { Rule } from './rule.ts';
import { num, wordSpan } from './say.ts';

/** How long a wipe may be, mm. Common practice, no source. */
const WIPE = 10;

/** A sideways move at the height of the part's top, or below it, before the nozzle has been lifted. */
export const dragOverPart: Rule = {
  id: 'drag-over-part',
  severity: 'error',
  title: 'The nozzle is dragged over the part',
  why: 'When an end sequence begins, the nozzle still touches the last layer. Moved sideways now, it drags a hot tip across the finished part, scars it or knocks it off the bed. Lift first, to a height above the part that the machine can reach: G1 Z{{ min(part.top + 5, reach.top) }}. A short wipe after pulling filament back is common practice, and is only noted.',
  bad: { role: 'end', text: 'G21\nG90\nG1 X0 Y200 F6000\nM104 S0\nM140 S0\nM84\n' },
  good: { role: 'end', text: 'G21\nG91\nG1 Z5 F600\nG90\nG1 X0 Y200 F6000\nM104 S0\nM140 S0\nM84\n' },
  check(view, report) {
    if (view.role === 'start' || view.role === 'program') return;
    const top = view.trace.start.at.z;
    if (!top) return;
    let pulledBack = false;
    for (const step of view.trace.steps) {
      const { move } = step;
      if (step.command.record?.effects.some((e) => e.do === 'retract')) pulledBack = true;
      if (move?.e && move.e.hi < 0) pulledBack = true;
      if (!move || move.kind === 'home' || !(move.moves.x || move.moves.y)) continue;
      const z = machinePosition(step.before).z;
      if (!z) return;
      if (rises(step.before, step.after)) continue;
      // The very height that the sequence began with is the part's top in every job.
      const untouched = step.before.at.z === top;
      if (!untouched && z.lo > top.hi) return;
      const certain = untouched || z.hi <= top.lo;
      const wipes = pulledBack && isShort(move);
      report({
        span: wordSpan(step, move.moves.x ? 'X' : 'Y'),
        step,
        certain,
        ...(wipes ? { severity: 'info' as const } : {}),
        message: wipes
          ? 'The nozzle is wiped over the part’s top here, before it is lifted. A short wipe like this is common practice, and may leave a mark.'
          : `The nozzle moves sideways while it is still down at the part’s top${untouched ? '' : ` (Z ${num(z.hi)}, the part is ${num(top.lo)} high)`}, and drags over the part. Lift it first: G1 Z{{ min(part.top + 5, reach.top) }}.`,
      });
      if (certain && !wipes) return;
    }
  },
};

/** Whether the nozzle lifts off along the way, so that it leaves the part at once. */
function rises(before: State, after: State): boolean {
  const [from, to] = [machinePosition(before).z, machinePosition(after).z];
  // Both ends of the bounds go up where the same amount is added in every job.
  return from !== null && to !== null && to.lo > from.lo && to.hi > from.hi;
}

const isShort = ({ length }: Move): boolean => length !== null && length.hi <= WIPE;

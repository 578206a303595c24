import { isExact, subtract } from '../placeholders/bounds.ts';
import { machinePosition } from '../simulate/motion.ts';
import type { Move, State } from '../simulate/state.ts';
import { unknownIn } from './blind.ts';
import type { Rule } from './rule.ts';
import { firstSpan, num, onTheMachine, range } from './say.ts';

/** How long a wipe may be, mm. Common practice, no source. */
const WIPE = 10;

/** Sums of shifted origins are rounded; less than this is no height. mm. */
const ROUNDING = 1e-6;

/** A sideways move at the height of the part's top, or below it, before the nozzle has been lifted. */
export const dragOverPart: Rule = {
  id: 'drag-over-part',
  severity: 'error',
  title: 'The nozzle is dragged over the part',
  why: 'When an end sequence begins, the nozzle still touches the last layer. Moved sideways now, it drags a hot tip across the finished part, scars it or knocks it off the bed. Lift first, to a height above the part that the machine can reach: G1 Z{{ min(part.top + 5, reach.top) }}. A short wipe after pulling filament back is common practice, and is only noted.',
  bad: { role: 'end', text: 'G21\nG90\nG1 X0 Y200 F6000\nM104 S0\nM140 S0\nM84\n' },
  good: {
    role: 'end',
    text: 'G21\nG90\nG1 Z{{ min(part.top + 5, reach.top) }} F600\nG1 X0 Y200 F6000\nM104 S0\nM140 S0\nM84\n',
  },
  check(view, report) {
    if (view.role === 'start' || view.role === 'program') return;
    const top = view.trace.start.at.z;
    if (!top) return;
    let pulledBack = false;
    const part = view.role === 'end' ? 'part' : 'layer';
    const lift = `G1 Z{{ min(${part}.top + 5, reach.top) }}`;
    const home = view.machine?.home.z ?? null;
    const highest = view.machine?.reach?.top ?? null;
    // In some jobs an earlier lift has already ended it. What only some jobs run settles nothing for the others.
    let perhapsLifted = false;
    for (const step of view.trace.steps) {
      const { move } = step;
      if (step.command.record?.effects.some((e) => e.do === 'retract')) pulledBack = true;
      if (move?.e && move.e.hi < 0) pulledBack = true;
      if (!move || !(move.moves.x || move.moves.y || move.moves.z)) continue;
      const z = machinePosition(step.before).z;
      if (!z) continue;
      if (move.kind === 'home' && move.moves.z) {
        if (home === null || home >= top.hi) {
          if (step.certain) return;
          perhapsLifted = true;
          continue;
        }
        report({
          span: step.command.node.span,
          severity: 'warning',
          step,
          // Where Z has been moved by what a job decides, an exact job shows it.
          certain: home < top.lo && !perhapsLifted && (step.before.at.z === top || isExact(z)),
          message: `Homing Z takes the nozzle down to Z ${num(home)}, below the ${part}’s top (${range(top)}): the part is hit unless it stands clear of that place. Home X and Y only (G28 X Y).`,
        });
        if (step.certain) return;
        perhapsLifted = true;
        continue;
      }
      const down = move.to.z;
      const above = subtract(down, top);
      if (move.moves.z && down && above && above.lo < -ROUNDING) {
        const certain = above.hi < -ROUNDING && !perhapsLifted;
        report({
          span: firstSpan(step, ['Z']),
          about: 'down',
          step,
          certain,
          message: `Z ${range(down)}${onTheMachine(step, ['z'])} is ${num(0 - above.lo)} mm below the ${part}’s top (${range(top)}): the nozzle is driven into the part. Lift it instead: ${lift}.`,
        });
        if (certain && step.certain) return;
      }
      if (!move.moves.x && !move.moves.y) continue;
      // The very height that the sequence began with is the part's top in every job.
      const untouched = step.before.at.z === top;
      const room = subtract(z, top);
      if (!untouched && room && room.lo > ROUNDING) {
        if (step.certain) return;
        perhapsLifted = true;
        continue;
      }
      const lifts = move.moves.z ? rise(step.before, step.after) : 'no';
      if (lifts === 'yes') continue;
      if (!untouched && (!room || room.hi > ROUNDING)) perhapsLifted = true;
      // Over a part as tall as the reach there is no room to lift: nothing that a sequence could do.
      if (!untouched && highest !== null && z.lo >= highest) continue;
      const hasRoom = untouched || highest === null || z.hi < highest;
      const certain = lifts === 'no' && !perhapsLifted && hasRoom && (untouched || isExact(z));
      const wipes = pulledBack && isShort(move);
      report({
        span: firstSpan(step, ['X', 'Y']),
        step,
        certain,
        ...(wipes ? { severity: 'info' } : {}),
        message: wipes
          ? 'The nozzle is wiped over the part’s top here, before it is lifted. A short wipe like this is common practice, and may leave a mark.'
          : `The nozzle moves sideways while it is still down on the ${part}${untouched ? '' : ` (Z ${num(z.hi)}, its top is at ${num(top.lo)})`}, and drags over it. Lift it first: ${lift}.`,
      });
      if (certain && step.certain && !wipes) return;
    }
  },
  blind: (view) =>
    view.role === 'start' || view.role === 'program'
      ? null
      : unknownIn(
          view,
          ({ move }) => move !== null && Object.values(move.moves).includes(true) && (!move.from.z || !move.to.z),
          'how high the nozzle is during a move is not known',
        ),
};

/** Whether the nozzle lifts off along the way, so that it leaves the part at once: in every job, in none, or in some. */
function rise(before: State, after: State): 'yes' | 'no' | 'perhaps' {
  const [from, to] = [machinePosition(before).z, machinePosition(after).z];
  if (from === to) return 'no';
  if (!from || !to) return 'perhaps';
  if (to.hi <= from.lo) return 'no';
  return to.lo > from.hi || (isExact(from) && isExact(to) && to.lo > from.lo) ? 'yes' : 'perhaps';
}

const isShort = ({ length }: Move): boolean => length !== null && length.hi <= WIPE;

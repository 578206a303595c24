import { hasWordFor } from '../commands/wordFor.ts';
import { aside } from '../geometry/aside.ts';
import { type Bounds, isExact, type Known } from '../placeholders/bounds.ts';
import { unknownIn } from './blind.ts';
import { stepsOf } from './byLine.ts';
import { commandAt, linesAbove, linesBelow } from './edits.ts';
import { both, either, isAbove, isBelow, type Jobs, less, most, not } from './jobs.ts';
import type { Rule } from './rule.ts';
import { num, range, wordSpan } from './say.ts';

/** So near to the bed a clip, a screw or an old bead is touched, mm. Common practice, no source. */
const LOW = 1;

/** A shorter step aside drags over nothing, mm. Common practice, no source. */
const STEP = 10;

/** A start that goes down to print height first and sideways afterwards. */
export const lowApproach: Rule = {
  id: 'low-approach',
  severity: 'hint',
  title: 'Down first, sideways afterwards',
  scope: 'line',
  check(view, report) {
    if (view.role !== 'start') return;
    let lowered: Jobs = 'none';
    let extruded: Jobs = 'none';
    for (const step of view.trace.steps) {
      const { move } = step;
      if (!move) continue;
      const sideways = move.moves.x || move.moves.y;
      const pushes = move.kind === 'home' ? 'none' : isAbove(move.pushed, 0);
      if (sideways && move.kind !== 'home' && move.from.z && move.to.z) {
        const low = both(lowered, both(isLow(move.from.z), isLow(move.to.z)));
        const far = isAbove(sidewaysLength(move.from, move.to), STEP);
        const happens = both(
          both(low, far),
          both(not(pushes), both(not(extruded), not(aside(view.machine, 'touch', move)))),
        );
        if (happens !== 'none')
          report({
            span: wordSpan(step, 'place x', 'place y'),
            step,
            certain: happens === 'all',
            message: `The nozzle goes sideways here at print height (Z ${range(move.to.z)}) before anything is printed, and touches whatever stands on the bed. Make this move above it, and go down to Z afterwards.`,
          });
      }
      // Where homing ends is the machine's affair; only a height that the text gives counts.
      if (move.moves.z) {
        lowered =
          move.kind === 'home'
            ? less(lowered, step, 'all')
            : both(isLow(move.to.z), either(lowered, step.certain ? 'all' : 'some'));
      }
      // A way behind filament pushed out on the spot wipes the nozzle.
      extruded = most(extruded, step, pushes);
      if (extruded === 'all') return;
    }
  },
  blind: (view) =>
    view.role === 'start'
      ? unknownIn(
          view,
          ({ move }) =>
            move !== null && move.kind !== 'home' && (move.moves.x || move.moves.y) && (!move.from.z || !move.to.z),
          'how high the nozzle is during a move is not known',
        )
      : null,
  fix(view, { span }) {
    const command = commandAt(view, span.start);
    const step = command ? stepsOf(view, command)[0] : undefined;
    const z = step?.before.at.z ?? null;
    if (!command || !step || !isExact(z) || step.before.relative !== false || step.before.inches === true) return [];
    if (hasWordFor(command, 'place z')) return [];
    const [up, down] = ['G1 Z5 F600', `G1 Z${num(z.lo)} F600`];
    const edits = [linesAbove(view, span.start, [up]), linesBelow(view, span.start, [down])];
    return [{ title: 'Go there at Z5, and come down behind it', edits, safe: false, preferred: true }];
  },
};

const isLow = (z: Known): Jobs => both(isBelow(z, LOW), isAbove(z, 0));

/** How far a straight move goes over the bed; no less than that where it is an arc. */
function sidewaysLength(from: Place, to: Place): Known {
  if (!from.x || !from.y || !to.x || !to.y) return null;
  const [x, y] = [gap(from.x, to.x), gap(from.y, to.y)];
  return { lo: Math.hypot(x.lo, y.lo), hi: Math.hypot(x.hi, y.hi) };
}
type Place = { readonly x: Known; readonly y: Known };

const gap = (a: Bounds, b: Bounds): Bounds => ({
  lo: Math.max(0, a.lo - b.hi, b.lo - a.hi),
  hi: Math.max(Math.abs(a.hi - b.lo), Math.abs(b.hi - a.lo)),
});

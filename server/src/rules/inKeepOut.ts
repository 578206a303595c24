import { arcMeetsBox, boxMeetsBox, type Point3, segmentMeetsBox } from '../geometry/geometry.ts';
import type { KeepOut } from '../machine/machine.ts';
import { exact, isExact, subtract } from '../placeholders/bounds.ts';
import type { Move } from '../simulate/state.ts';
import { noMachine, notPlaced, startsSomewhere } from './blind.ts';
import type { Rule } from './rule.ts';
import { adviceIn, num, onMachine, wordSpan } from './say.ts';

/** A path through a volume that the nozzle must not enter. */
export const inKeepOut: Rule = {
  id: 'in-keep-out',
  severity: 'error',
  title: 'A path through a keep-out',
  why: 'Clips, brushes, cameras and tool posts stand within reach of the nozzle. Both ends of a move can be clear of them while the straight line between is not. Lift above the keep-out first, or go round it in two moves.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nG1 Z2.5 F630\nG1 X84 Y189 F5400\nG1 X126 F5400\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG1 Z12 F630\nG1 X84 Y189 F5400\nG1 X126 F5400\n' },
  check(view, report) {
    const { machine } = view;
    if (!machine || machine.keepOut.length === 0) return;
    for (const step of view.trace.steps) {
      const { move } = step;
      if (!move || move.kind === 'home' || !(move.moves.x || move.moves.y || move.moves.z)) continue;
      for (const box of machine.keepOut) {
        const met = meets(move, box);
        if (met === 'never') continue;
        report({
          span: wordSpan(step, 'place x', 'place y', 'place z'),
          about: box.name,
          step,
          certain: met !== 'perhaps',
          message: `The path goes through “${box.name}”${met === 'perhaps' || met === 'always' ? '' : `, which it enters at X ${num(met.x)} Y ${num(met.y)} Z ${num(met.z)}`}${onMachine(machine)}. ${adviceIn(view.role, `Lift above Z ${num(box.top)} first, or go round it (X ${num(box.left)} to ${num(box.right)}, Y ${num(box.front)} to ${num(box.back)}).`, 'with the part elsewhere')}`,
        });
      }
    }
  },
  blind: (view) =>
    noMachine(view) ?? (view.machine?.keepOut.length === 0 ? null : (startsSomewhere(view, null) ?? notPlaced(view))),
};

/** Where an exact path enters the box, or what can be said of one that is within bounds. */
function meets(move: Move, box: KeepOut): Point3 | 'never' | 'perhaps' | 'always' {
  const from = exactPoint(move.from);
  const to = exactPoint(move.to);
  // A move that begins inside is on its way out, or told already by the move that went in.
  if (from && isInside(from, box)) return 'never';
  if (move.arc && from && to) {
    const third = { xy: 'z', zx: 'y', yz: 'x' } as const;
    const axis = third[move.arc.plane];
    return arcMeetsBox(move.arc, [from[axis], to[axis]], box) ?? 'never';
  }
  if (move.kind === 'line' && from && to) return segmentMeetsBox(from, to, box) ?? 'never';
  const { extent } = move;
  if (!extent.x || !extent.y || !extent.z) return 'never';
  if (climbsOut(move, box)) return 'never';
  if (boxMeetsBox({ x: extent.x, y: extent.y, z: extent.z }, box) === 'never') return 'never';
  const enters = placeIn(move.to, box) === 'always' && placeIn(move.from, box) === 'never';
  return enters ? 'always' : 'perhaps';
}

/** Straight up, from no lower than the box begins: it may only begin inside, and leave. */
function climbsOut({ moves, from, to }: Move, box: KeepOut): boolean {
  const rise = subtract(to.z, from.z);
  return !moves.x && !moves.y && rise !== null && rise.lo >= 0 && from.z !== null && from.z.lo >= box.bottom;
}

function placeIn({ x, y, z }: Move['to'], box: KeepOut): 'never' | 'perhaps' | 'always' {
  return x && y && z ? boxMeetsBox({ x, y, z }, box) : 'perhaps';
}

const isInside = (p: Point3, box: KeepOut): boolean =>
  boxMeetsBox({ x: exact(p.x), y: exact(p.y), z: exact(p.z) }, box) === 'always';

function exactPoint(p: Move['to']): Point3 | null {
  return isExact(p.x) && isExact(p.y) && isExact(p.z) ? { x: p.x.lo, y: p.y.lo, z: p.z.lo } : null;
}

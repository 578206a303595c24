import { aside } from '../geometry/aside.ts';
import type { Area } from '../machine/machine.ts';
import type { Bounds } from '../placeholders/bounds.ts';
import type { Move } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { modeUnstated, unknownIn } from './blind.ts';
import { filamentDiameter, ownMove, volumeOf } from './extrudes.ts';
import { both, isAbove, type Jobs, not } from './jobs.ts';
import { areaExcess } from './place.ts';
import type { Rule } from './rule.ts';
import { num, range, wordSpan } from './say.ts';

/** Filament that a short prime feeds in one place at most, mm. Common practice, no source. */
export const BLOB = 10;

/** From this height on it hangs down as a strand rather than gather into a ball, mm. Common practice, no source. */
const STRAND = 5;

/** A lot of filament pushed out over the bed while the nozzle stands still. */
export const blob: Rule = {
  id: 'blob',
  severity: 'info',
  title: 'A blob is pushed out over the bed',
  scope: 'line',
  check(view, report) {
    // A swap fills its nozzle where the machine has room for it.
    if (view.role === 'swap') return;
    for (const step of view.trace.steps) {
      const move = ownMove(step);
      if (!move?.pushed || move.pushed.hi <= BLOB || !move.length || move.length.lo > 0) continue;
      const happens = both(
        both(isAbove(move.pushed, BLOB), not(isAbove(move.length, 0))),
        both(overBed(view.machine?.bed ?? null, move), not(aside(view.machine, 'push', move))),
      );
      if (happens === 'none') continue;
      const volume = volumeOf(view, move.pushed);
      report({
        span: wordSpan(step, 'filament'),
        step,
        certain: happens === 'all',
        ...(isAbove(move.to.z, STRAND) === 'all'
          ? { severity: 'hint', message: strand(move.pushed) }
          : {
              message: `${range(move.pushed)} mm of filament are pushed out here while the nozzle stands still${volume ? `: a ball ${num(Math.round(ball(volume.hi) * 10) / 10)} mm across` : ''} that clings to the tip. Feed it along a line, or beside the bed${view.machine ? '' : ` (counted for ${filamentDiameter(view)} mm filament)`}.`,
            }),
      });
    }
  },
  ofMove: {
    beyond: { pushedStanding: BLOB },
    says: (move, { machine }) =>
      move.pushed !== null &&
      move.pushed.lo > BLOB &&
      move.length?.lo === 0 &&
      overBed(machine?.bed ?? null, move) === 'all' &&
      aside(machine, 'push', move) === 'none'
        ? 1
        : 0,
  },
  blind(view) {
    if (view.role === 'swap') return null;
    const unknown = (step: Step): boolean => unsure(view.machine?.bed ?? null, ownMove(step));
    return (
      modeUnstated(view, unknown) ??
      unknownIn(view, unknown, 'how much filament a move pushes out, or where, is not known')
    );
  },
};

/** Diameter of a ball with this volume (mm3), mm: V = pi d^3 / 6. */
const ball = (volume: number): number => Math.cbrt((6 * volume) / Math.PI);

function unsure(bed: Area | null, move: Move | null): boolean {
  if (!move) return false;
  // One that goes somewhere in every job leaves a line, however much it pushes.
  if ((move.length?.lo ?? 0) > 0 || (move.pushed && move.pushed.hi <= BLOB)) return false;
  if (!move.pushed) return true;
  return !move.length || (move.length.lo === 0 && bed !== null && !areaExcess(bed, move));
}

const strand = (pushed: Bounds): string =>
  `${range(pushed)} mm of filament are pushed out here high over the bed, and fall onto it. Take the strand away before the first layer, with a tool since it is hot, or feed it along a line.`;

function overBed(bed: Area | null, move: Move): Jobs {
  if (!bed) return 'all';
  const excess = areaExcess(bed, move);
  if (!excess) return 'none';
  return excess.most <= 0 ? 'all' : excess.least > 0 ? 'none' : 'some';
}

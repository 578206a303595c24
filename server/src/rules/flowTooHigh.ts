import { wordFor } from '../commands/wordFor.ts';
import type { Machine } from '../machine/machine.ts';
import { absolute, isExact, type Known, multiply } from '../placeholders/bounds.ts';
import type { Step } from '../simulate/trace.ts';
import { noMachine, unknownIn, unstated } from './blind.ts';
import { stepsOf } from './byLine.ts';
import { commandAt, withValue } from './edits.ts';
import { ownMove, volumeOf } from './extrudes.ts';
import { isAbove, ratio } from './jobs.ts';
import type { Report, Rule, View } from './rule.ts';
import { adviceIn, num, onMachine, wordSpan } from './say.ts';

/** E is written with few digits, so that a flow is not more exact than this. */
const ROUNDING = 1.05;

/** mm3/s above which a flow is told; Infinity: the machine states no highest. */
export const mostFed = (machine: Machine | null): number =>
  machine?.mostFlow == null ? Number.POSITIVE_INFINITY : machine.mostFlow * ROUNDING;

/** Filament fed faster than the nozzle can melt it. */
export const flowTooHigh: Rule = {
  id: 'flow-too-high',
  severity: 'warning',
  title: 'More flow than the nozzle can melt',
  scope: 'whole',
  check(view, report) {
    const most = view.machine?.mostFlow ?? null;
    if (most === null || !view.machine) return;
    const where = onMachine(view.machine);
    const limit = mostFed(view.machine);
    let fastest = 0;
    let lines = 0;
    let worst: Report | null = null;
    for (const step of view.trace.steps) {
      const flow = flowOf(view, step);
      if (!flow || flow.hi <= limit) continue;
      const found: Report = {
        span: wordSpan(step, 'filament'),
        step,
        certain: isAbove(flow, limit) === 'all',
        message: `This feeds ${num(Math.round(flow.hi * 10) / 10)} mm³/s, and ${num(most)} is the most that the nozzle melts${where}. ${adviceIn(view.role, `Slow down to F${num(Math.floor(((step.move?.feed?.hi ?? 0) * most) / flow.hi))}, or feed less.`, 'with less flow')}`,
      };
      // A finished job is the same in every job, and may have thousands of such lines: the worst one tells.
      if (view.role !== 'program') report(found);
      else {
        lines++;
        if (flow.hi > fastest) {
          fastest = flow.hi;
          worst = found;
        }
      }
    }
    // Which is the worst hangs on all lines, so the search for a job must not stop behind this one: no step.
    if (worst)
      report({
        span: worst.span,
        certain: (worst.certain ?? true) && (worst.step?.certain ?? true),
        message: `${worst.message}${lines > 1 ? ` ${lines} lines feed too fast; this one is the worst.` : ''}`,
      });
  },
  blind: (view) =>
    noMachine(view) ??
    (view.machine?.mostFlow === null
      ? unstated('mostFlow', 'the machine file states no highest flow (mostFlow)')
      : unknownIn(
          view,
          (step) => !!ownMove(step) && (!step.move?.pushed || step.move.pushed.hi > 0) && !flowOf(view, step),
          'how fast filament is fed is not known',
        )),
  fix(view, finding) {
    const command = commandAt(view, finding.span.start);
    const step = command ? stepsOf(view, command)[0] : undefined;
    const flow = step && flowOf(view, step);
    const feed = step?.move?.feed;
    const most = view.machine?.mostFlow ?? null;
    const word = command && wordFor(command, 'feed');
    if (!flow || !feed || !isExact(flow) || most === null || word?.value?.type !== 'number' || step.before.inches)
      return [];
    const slower = num(Math.floor((feed.hi * most) / flow.hi));
    return [{ title: `Slow down to F${slower}`, edits: [withValue(word, slower)], safe: false, preferred: true }];
  },
};

/** mm3/s that leave the nozzle at the speed of a move; null where it is not known or feeds nothing. */
export function flowOf(view: Pick<View, 'machine'>, step: Step): Known {
  const move = ownMove(step);
  if (!move?.pushed || move.pushed.hi <= 0 || !move.length || !move.feed) return null;
  const volume = multiply(volumeOf(view, move.pushed), step.before.flowFactor);
  if (!volume) return null;
  const speed = { lo: Math.max(0, move.feed.lo / 60), hi: move.feed.hi / 60 };
  // F counts along the path, or along the filament where the nozzle stands still.
  const path = move.length.lo > 0 ? move.length : move.length.hi === 0 ? absolute(move.e) : null;
  const flow = multiply(ratio(volume, path), speed);
  if (flow) return flow;
  return { lo: 0, hi: Number.POSITIVE_INFINITY };
}

import type { Tri } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { linesAtEnd } from './edits.ts';
import { either, isOff, type Jobs } from './jobs.ts';
import type { Fix, Rule, View } from './rule.ts';
import { range } from './say.ts';
import { wordMeant, wordsOf } from './words.ts';

/** Positions that are still counted from a shifted origin when the sequence hands over. */
export const offsetLeft: Rule = {
  id: 'offset-left',
  severity: 'warning',
  title: 'A shifted origin left behind',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (view.role === 'program') return;
    const left = leftOf(view);
    if (left === 'none') return;
    const setters = view.trace.settings.filter(shifts);
    // The last one that every job runs settles what was before it.
    const sure = setters.findLastIndex(({ certain }) => certain);
    const from = setters.slice(Math.max(0, sure));
    for (const step of from)
      report({
        span: step.command.node.span,
        // No `step`: what it leaves is only seen at the end of the whole run.
        certain: left === 'all' && from.length === 1 && step.certain,
        message: `${shiftOf(view)} is still in force when the sequence ends, so all that comes after it goes ${view.trace.end.workOffset === 1 ? 'that much beside its place' : 'to other places'}. Take it back: ${cureOf(view).join(', then ')}.`,
      });
  },
  blind(view) {
    if (view.role === 'program') return null;
    const { offset, workOffset } = view.trace.end;
    const known = offset.x && offset.y && offset.z && workOffset !== null;
    return known ? notFollowed(view) : 'where positions are counted from at the end is not known';
  },
  fix(view): Fix[] {
    if (view.trace.end.stopped !== false) return [];
    const rows = cureOf(view);
    return [
      { title: `Add ${rows.join(' and ')} at the end`, edits: [linesAtEnd(view, rows)], safe: false, preferred: true },
    ];
  },
};

const AXES = ['x', 'y', 'z'] as const;

function leftOf({ trace: { end } }: View): Jobs {
  const moved = AXES.map((axis) => isOff(end.offset[axis])).reduce(either);
  const elsewhere: Tri = end.workOffset === null ? null : end.workOffset !== 1;
  return either(moved, elsewhere === null ? 'some' : elsewhere ? 'all' : 'none');
}

const SHIFTS: readonly string[] = ['clear-offset', 'work-offset'];

/** Whether a step changes where positions are counted from, by its form alone: that hangs on no number. */
function shifts(step: Step): boolean {
  const { record } = step.command;
  const { after } = step;
  const words = wordsOf(step);
  if (!record) return after.workOffset === null;
  return record.effects.some(({ do: does }) => {
    if (does === 'set-position')
      return wordMeant(step, 'reading x', 'reading y', 'reading z') !== undefined || words.length === 0;
    return does === 'retract' ? words.some(({ key }) => key === 'L') : SHIFTS.includes(does);
  });
}

function shiftOf({ trace: { end } }: View): string {
  const shifted = AXES.filter((axis) => isOff(end.offset[axis]) !== 'none');
  const said = shifted.flatMap((axis) => {
    const by = end.offset[axis];
    return by ? [`${axis.toUpperCase()} by ${range(by)} mm`] : [];
  });
  if (said.length > 0) return `A shift of ${said.join(' and ')}`;
  return end.workOffset === null || end.workOffset === 1 ? 'A shifted origin' : `Work offset ${end.workOffset}`;
}

/** What puts the origin back: what G92 shifted, then the work offset. */
function cureOf({ trace: { end } }: View): string[] {
  const byG92 = AXES.some((axis) => end.offset[axis] !== end.work[axis] && isOff(end.offset[axis]) !== 'none');
  const rows = byG92 ? ['G92.1'] : [];
  if (end.workOffset !== 1) rows.push('G54');
  return rows.length > 0 ? rows : ['G10 L2 P1 X0 Y0 Z0'];
}

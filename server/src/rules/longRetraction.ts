import { type Known, negate } from '../placeholders/bounds.ts';
import type { Step } from '../simulate/trace.ts';
import { modeUnstated, unknownIn } from './blind.ts';
import { hasE, ownMove } from './extrudes.ts';
import { both, isAbove, not } from './jobs.ts';
import type { Rule, View } from './rule.ts';
import { adviceIn, num, range, wordSpan } from './say.ts';

/** The longest usual retraction, through a long tube, is 7 mm; more comes near to the cold end. Common practice, no source. */
export const LONG = 10;

/** Filament pulled back further than any usual retraction. */
export const longRetraction: Rule = {
  id: 'long-retraction',
  severity: 'warning',
  title: 'Filament is pulled back too far',
  scope: 'line',
  check(view, report) {
    if (view.role === 'swap') return;
    for (const step of view.trace.steps) {
      const e = ownMove(step)?.e;
      // A mode or a place that is not known is told by rules of its own.
      if (!e || e.lo >= 0) continue;
      const [was, is] = pulledBack(view, step.before.retracted, step.after.retracted, e);
      const happens = both(both(isAbove(negate(e), 0), isAbove(is, LONG)), not(isAbove(was, LONG)));
      if (happens === 'none') continue;
      report({
        span: wordSpan(step, 'filament'),
        step,
        certain: happens === 'all',
        ...(view.role === 'end' ? { severity: 'info' } : {}),
        message: `With this ${is && Number.isFinite(is.hi) ? `${range(is)} mm of filament are` : 'filament is'} pulled back, and more than ${num(LONG)} mm draws the soft tip into the cold part above the nozzle, where it sets and plugs it. ${view.role === 'end' ? 'That is right where the filament is to be taken out; otherwise pull back less.' : adviceIn(view.role, 'Pull back less.', 'with shorter retractions')}`,
      });
    }
  },
  ofMove: {
    beyond: { retracted: LONG },
    says: ({ e }, { retractedBefore: was, retractedAfter: is }) =>
      e !== null && e.lo < 0 && is > LONG && !(was > LONG) ? 1 : 0,
  },
  blind(view) {
    if (view.role === 'swap') return null;
    const unknown = (step: Step): boolean => hasE(step) && (!step.move?.e || (counts(view) && !step.after.retracted));
    return modeUnstated(view, unknown) ?? unknownIn(view, unknown, 'how much filament a move pulls back is not known');
  },
};

/** Whether what was pulled back is known from the beginning on; what a job has done before is its own affair. */
const counts = ({ role }: View): boolean => role === 'start' || role === 'program';

function pulledBack(view: View, before: Known, after: Known, e: Known): [Known, Known] {
  const own = negate(e);
  if (!counts(view)) return [{ lo: 0, hi: 0 }, own];
  // A job that knows what was pulled back before may have told it there.
  return before && after ? [before, after] : [null, own && { lo: own.lo, hi: Number.POSITIVE_INFINITY }];
}

import type { Step } from '../simulate/trace.ts';
import { encloses } from '../syntax/at.ts';
import type { Section } from '../syntax/nodes.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { linesAbove } from './edits.ts';
import { givesE, hasE } from './extrudes.ts';
import { beginsAnywhere } from './handOver.ts';
import { isZero, mayDoAnything } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import { both, type Jobs, less, most, not, turned } from './jobs.ts';
import type { Fix, Rule } from './rule.ts';
import { wordSpan } from './say.ts';
import { wordMeant, wordsOf } from './words.ts';

/** E in a mode that the sequence has not stated. */
export const eModeUnset: Rule = inPieces({
  id: 'e-mode-unset',
  severity: 'info',
  title: 'E is used before its mode is stated',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    if (!beginsAnywhere(view)) return;
    const governs = view.machine?.controller.distanceGovernsE ?? null;
    // Where nobody has said whether G90 governs E too, it may have stated the mode.
    let perhaps = false;
    // Stated before, or told already.
    let settled: Jobs = 'none';
    // Right behind G92 E0 a step and a place are the same.
    let zeroed: Jobs = 'none';
    // Sections in which it was stated, each around the next; those that have ended are dropped.
    const statedIn: (Section | null)[] = [];
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      const { command } = step;
      const { section } = command.node;
      while (statedIn.length > 0 && !encloses(statedIn.at(-1) ?? null, section)) statedIn.pop();
      const states = command.record?.effects.some(
        ({ do: does }) => does === 'extrusion-mode' || (governs && does === 'distance'),
      );
      perhaps ||= governs === null && command.record?.effects.some(({ do: does }) => does === 'distance') === true;
      if (states) {
        settled = most(settled, step, 'all');
        statedIn.push(section);
      } else if (hasE(step) && statedIn.length === 0) {
        const differs = both(givesE(step), not(zeroed));
        const happens = both(not(settled), differs);
        if (happens !== 'none')
          report({
            span: wordSpan(step, 'filament'),
            step,
            certain: happens === 'all',
            ...(view.role === 'end' && !perhaps ? { severity: 'warning' } : {}),
            message: `Whether E is a step (M83) or a place (M82) has not been stated, so ${view.role === 'start' ? 'it depends on what ran before' : 'it depends on the job'}. Add M83 above, if this is a step.`,
          });
        settled = most(settled, step, differs);
      }
      if (settled === 'all') return;
      zeroed = zeroedAfter(zeroed, step);
    }
  },
  blind: (view) => (beginsAnywhere(view) ? notFollowed(view) : null),
  // Within a job the mode belongs to the job.
  fix: (view, { span }): Fix[] =>
    view.role === 'start' || view.role === 'end'
      ? [['M83', 'is a step', true] as const, ['M82', 'is a place', false] as const].map(
          ([code, means, preferred]) => ({
            title: `Add ${code}: E ${means}`,
            edits: [linesAbove(view, span.start, [code])],
            safe: false,
            preferred,
          }),
        )
      : [],
});

/** Whether E reads 0 after a step, as G92 E0 or a bare G92 says in so many digits. */
function zeroedAfter(was: Jobs, step: Step): Jobs {
  const { record } = step.command;
  const words = wordsOf(step);
  if (record?.effects.some((effect) => effect.do === 'set-position')) {
    const e = wordMeant(step, 'reading e');
    if (e) return turned(was, step, isZero(e) ? 'all' : 'none');
    return words.length === 0 ? turned(was, step, 'all') : was;
  }
  const moves = hasE(step) || mayDoAnything(step) || record?.effects.some(({ do: does }) => FEEDS.has(does));
  return moves ? less(was, step, 'all') : was;
}

/** What may change what E reads, besides moves. */
const FEEDS: ReadonlySet<string> = new Set(['extrude', 'retract', 'unretract']);

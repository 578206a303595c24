import { exact, type Known, subtract } from '../placeholders/bounds.ts';
import type { Step, Trace } from '../simulate/trace.ts';
import { once } from '../text/once.ts';
import { notFollowed } from './blind.ts';
import { addAtEnd, does, tellLeft } from './handOver.ts';
import { isOff, type Jobs } from './jobs.ts';
import type { Rule, Severity, View } from './rule.ts';
import { percent } from './settings.ts';
import { wordsOf } from './words.ts';

/** As far from 100 % a flow factor is likely one that a person has measured. Common practice, no source. */
const MEASURED = 0.1;

const FACTORS = [
  { code: 'M220', effect: 'speed-factor', of: 'speedFactor', what: 'speed' },
  { code: 'M221', effect: 'flow-factor', of: 'flowFactor', what: 'flow' },
] as const;

type Factor = (typeof FACTORS)[number];

/** A speed or flow factor other than 100 % that outlasts the sequence which sets it. */
export const factorsLeft: Rule = {
  id: 'factors-left',
  severity: 'warning',
  title: 'A speed or flow factor is left behind',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (!hands(view)) return;
    const { end, steps } = view.trace;
    for (const factor of FACTORS) {
      const set = steps.length > 0 && view.trace.settings.some((step) => does(step, factor.effect));
      if (!set) continue;
      const stored = view.trace.settings.some((step) => bringsBack(step, factor));
      tellLeft(
        view,
        {
          sets: (step) => does(step, factor.effect) && (says(step) || bringsBack(step, factor)),
          leaves: (step) => (bringsBack(step, factor) ? 'some' : wrong(step.after[factor.of])),
          end: stored ? 'some' : wrong(end[factor.of]),
          say: (step) => ({
            about: factor.what,
            severity: severityOf(view, step, factor),
            message: message(view, step, factor),
          }),
        },
        report,
      );
    }
  },
  blind(view) {
    if (!hands(view)) return null;
    const { end, settings } = view.trace;
    const unknown = FACTORS.some((f) => !end[f.of] || settings.some((step) => bringsBack(step, f)));
    return unknown ? 'which speed or flow factor it leaves is not known' : notFollowed(view);
  },
  fix(view, { about, severity }) {
    const factor = FACTORS.find(({ what }) => what === about);
    return factor ? addAtEnd(view, `${factor.code} S100`, factor.code, factor.effect, severity === 'warning') : [];
  },
};

const hands = ({ role }: View): boolean => role === 'start' || role === 'end';
const says = (step: Step): boolean => wordsOf(step).some(({ key, value }) => key === 'S' && value);

/** M220 R brings back a factor that B has stored: which one is not followed. */
const bringsBack = (step: Step, { effect }: Factor): boolean =>
  does(step, effect) && !says(step) && wordsOf(step).some(({ key }) => key === 'R');

const wrong = (factor: Known): Jobs => isOff(subtract(factor, exact(1)));

const behindAllMoves = once(({ steps }: Trace) => {
  const last = steps.findLastIndex(({ move }) => move && move.kind !== 'home');
  return new Set(steps.slice(Math.max(0, last)));
});

/** A factor set behind all moves is meant for the job; a flow close to 100 % has likely been measured. */
function severityOf({ role, trace }: View, step: Step, { of, what }: Factor): Severity {
  const factor = step.after[of];
  const measured = what === 'flow' && factor && Math.max(1 - factor.lo, factor.hi - 1) <= MEASURED + 1e-9;
  if (role === 'end' || measured) return 'info';
  return behindAllMoves(trace).has(step) ? 'info' : 'warning';
}

function message({ role }: View, step: Step, { code, of, what }: Factor): string {
  const left = percent(step.after[of]);
  return role === 'end'
    ? `The ${what} factor of ${left} % stays in force for the next job. Put it back at the end: ${code} S100.`
    : `The start sequence hands over with a ${what} factor of ${left} %, and the whole job runs with it. If it is meant for this sequence only, put it back at the end: ${code} S100.`;
}

import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { linesAtEnd } from './edits.ts';
import { givesE, hasE } from './extrudes.ts';
import { does } from './handOver.ts';
import { mayDoAnything } from './heatSteps.ts';
import { type Jobs, less, most } from './jobs.ts';
import { hasAll, isPlain } from './lines.ts';
import type { Rule, View } from './rule.ts';

/** E in another mode than the job may be in, when a sequence within the job ends. */
export const eModeLeft: Rule = {
  id: 'e-mode-left',
  severity: 'hint',
  title: 'A mode of E that the job may not be in',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (!isWithinJob(view)) return;
    // Each statement that some job may end in.
    let setters: Step[] = [];
    // In how many jobs the mode in force was not stated for the job, but for the sequence's own use.
    let own: Jobs = 'none';
    let used: Step | null = null;
    for (const step of view.trace.steps) {
      if (mayDoAnything(step) || bringsBack(step)) own = less(own, step, 'some');
      const aside = governsAside(view, step);
      if (aside || does(step, 'extrusion-mode')) {
        if (step.certain) setters = [];
        setters.push(step);
        used = null;
        own = less(own, step, 'all');
        if (aside) own = most(own, step, 'all');
      } else if (hasE(step) && setters.length > 0) {
        used = step;
        own = most(own, step, givesE(step));
      }
    }
    if (own === 'none') return;
    const last = setters.at(-1);
    for (const step of setters) {
      const sure = own === 'all' && step === last && step.certain;
      report({
        span: step.command.node.codeSpan,
        certain: sure,
        message: message(view, step, used),
        // Whoever writes M83 may well mean the job's mode; with G90 nobody speaks of E.
        ...(used ? {} : { severity: 'info' }),
      });
    }
  },
  blind: (view) => (isWithinJob(view) ? notFollowed(view) : null),
  fix(view) {
    if (view.trace.end.stopped !== false || !isPlain(view)) return [];
    return [['M82', 'the job counts E in places'] as const, ['M83', 'the job counts E in steps'] as const].flatMap(
      ([code, means]) =>
        hasAll(view, [code])
          ? [{ title: `Add ${code} at the end: ${means}`, edits: [linesAtEnd(view, [code])], safe: false }]
          : [],
    );
  },
};

/** Whether the job goes on behind a text, in whatever mode it was in before. */
const isWithinJob = ({ role }: View): boolean => role === 'layer' || role === 'swap' || role === 'pause';

/** Whether a step states the mode of E only because the distance mode governs it. */
const governsAside = ({ machine }: View, step: Step): boolean =>
  (machine?.controller.distanceGovernsE ?? false) && does(step, 'distance');

/** On some controllers M121 brings back the modes that M120 saved. */
const bringsBack = ({ command }: Step): boolean => command.code === 'M121';

function message({ role }: View, { command, after }: Step, used: Step | null): string {
  const mode = after.relativeE === false ? 'places' : 'steps';
  const other = after.relativeE === false ? 'steps (M83)' : 'places (M82)';
  const why = used
    ? `E counts ${mode} from here on`
    : `On this controller ${command.code} governs E too, which counts ${mode} from here on`;
  return `${why}, and still does when the ${role} sequence ends: wrong for a job that counts ${other}. State the job’s own mode at the end, M82 or M83.`;
}

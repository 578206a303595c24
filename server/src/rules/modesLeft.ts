import type { Effect } from '../machine/effect.ts';
import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { linesAbove, linesAtEnd } from './edits.ts';
import { jobFollows } from './handOver.ts';
import { hasOpenSection } from './lines.ts';
import type { Finding, Fix, Report, Rule, View } from './rule.ts';

/** A sequence that hands over in relative or inch mode, or a start that never states its modes. */
export const modesLeft: Rule = {
  id: 'modes-left',
  severity: 'error',
  title: 'Modes that the job does not expect',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (!jobFollows(view) || view.commands.length === 0) return;
    const { end, steps } = view.trace;
    const first = view.commands[0]?.node.codeSpan ?? { start: 0, end: 0 };
    const relative = stepsThat(steps, (e) => e.do === 'distance' && e.relative);
    if (end.relative !== false) handsOver(relative, end.relative === true, 'distance', relativeLeft(view), report);
    if (view.role === 'start' && end.relative === null && stepsThat(steps, (e) => e.do === 'distance').length === 0) {
      report({
        span: first,
        severity: 'info',
        message:
          'The start sequence never states its distance mode, so positions depend on what ran before. Add G90 at the top.',
      });
    }
    const inches = stepsThat(steps, (e) => e.do === 'units' && e.inches);
    if (end.inches !== false) handsOver(inches, end.inches === true, 'units', inchesLeft(view), report);
    if (view.role === 'start' && end.inches === null && stepsThat(steps, (e) => e.do === 'units').length === 0) {
      report({
        span: first,
        about: 'units',
        severity: 'hint',
        message:
          'The start sequence never states its units. Add G21 (mm) at the top, in case something before it set inches.',
      });
    }
  },
  blind(view) {
    const { relative, inches } = view.trace.end;
    if (!jobFollows(view) || view.commands.length === 0) return null;
    if (relative === null || inches === null) return 'which modes it hands over in differs between jobs';
    return notFollowed(view);
  },
  fix: mend,
};

function mend(view: View, { span, about }: Finding): Fix[] {
  const { end, steps } = view.trace;
  const units = about === 'units';
  const row = units ? 'G21' : 'G90';
  const stated = stepsThat(steps, (e) => e.do === (units ? 'units' : 'distance')).length > 0;
  // On top G90 changes where every move leads; G21 is how units that nobody stated are read anyway.
  if (!stated)
    return [
      {
        title: `Add ${row} at the top`,
        edits: [linesAbove(view, topOf(view, span.start), [row])],
        safe: units,
        preferred: true,
      },
    ];
  if (end.stopped !== false || hasOpenSection(view.tree)) return [];
  const governs = view.machine?.controller.distanceGovernsE !== false;
  return [
    { title: `Add ${row} at the end`, edits: [linesAtEnd(view, [row])], safe: units || !governs, preferred: true },
  ];
}

/** Where every job comes by: above the sections that the first command stands in. */
function topOf({ commands }: View, first: number): number {
  let top = first;
  for (let section = commands[0]?.node.section ?? null; section; section = section.parent) top = section.span.start;
  return top;
}

/** Tells the step that set the mode for good; where only some jobs hand over in it, each one that may be that step. */
function handsOver(
  setters: readonly Step[],
  certain: boolean,
  about: string,
  message: string,
  report: (finding: Report) => void,
): void {
  for (const step of certain ? setters.slice(-1) : setters)
    report({ span: step.command.node.codeSpan, about, certain, message });
}

const stepsThat = (steps: readonly Step[], has: (effect: Effect) => boolean): Step[] =>
  steps.filter((step) => step.command.record?.effects.some(has));

const relativeLeft = ({ role }: View): string =>
  `The ${role} sequence hands over in relative mode (G91), and the job’s moves are absolute. Add G90 below this line.`;
const inchesLeft = ({ role }: View): string =>
  `The ${role} sequence hands over in inches (G20), and the job counts in mm: it would be 25.4 times too large. Add G21 below this line.`;

import type { Effect } from '../machine/effect.ts';
import type { Step } from '../simulate/trace.ts';
import type { Rule } from './rule.ts';

/** A start that hands over in relative or inch mode, or without ever having stated its modes. */
export const modesLeft: Rule = {
  id: 'modes-left',
  severity: 'error',
  title: 'Modes that the job does not expect',
  why: 'The body of a job counts in mm and in absolute positions. A start sequence that ends in relative mode (G91) or inches (G20) sends every move after it astray; one that never states its modes depends on what ran before. State G21 and G90 at the top, and go back to G90 after each stretch in G91.',
  bad: { role: 'start', text: 'G21\nG90\nG28\nG91\nG1 Z5 F600\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG91\nG1 Z5 F600\nG90\nM109 S210\n' },
  check(view, report) {
    if (view.role !== 'start' || view.commands.length === 0) return;
    const { end, steps } = view.trace;
    const first = view.commands[0]?.node.codeSpan ?? { start: 0, end: 0 };
    const distance = last(steps, 'distance');
    if (end.relative === true) {
      report({
        span: distance?.command.node.codeSpan ?? first,
        about: 'distance',
        message: RELATIVE,
      });
    } else if (end.relative === null && !distance) {
      report({
        span: first,
        severity: 'info',
        message:
          'The start sequence never states its distance mode, so positions depend on what ran before. Add G90 at the top.',
      });
    } else if (end.relative === null) {
      report({
        span: distance?.command.node.codeSpan ?? first,
        about: 'distance',
        certain: false,
        message: RELATIVE,
      });
    }
    const units = last(steps, 'units');
    if (end.inches === true) {
      report({
        span: units?.command.node.codeSpan ?? first,
        about: 'units',
        message: INCHES,
      });
    } else if (end.inches === null && units) {
      report({ span: units.command.node.codeSpan, about: 'units', certain: false, message: INCHES });
    } else if (end.inches === null) {
      report({
        span: first,
        severity: 'hint',
        message:
          'The start sequence never states its units. Add G21 (mm) at the top, in case something before it set inches.',
      });
    }
  },
};

const RELATIVE =
  'The start sequence hands over in relative mode (G91), and the job’s moves are absolute. Add G90 below this line.';
const INCHES =
  'The start sequence hands over in inches (G20), and the job counts in mm: it would be 25.4 times too large. Add G21 below this line.';

function last(steps: readonly Step[], what: Effect['do']): Step | null {
  for (let i = steps.length - 1; i >= 0; i--) {
    const step = steps[i] as Step;
    if (step.command.record?.effects.some((e) => e.do === what)) return step;
  }
  return null;
}

import type { Rule } from './rule.ts';

/** RS-274 (NISTIR 6556 3.3): characters a line. */
const STANDARD = 256;

/** A line longer than the controller reads. */
export const longLine: Rule = {
  id: 'long-line',
  severity: 'warning',
  title: 'A line that is longer than the controller reads',
  why: 'A controller keeps a line in a small store; what does not fit is cut off or read as a line of its own. RS-274 has 256 characters (NISTIR 6556 3.3), many controllers less: `controller.longestLine` in the machine file says it. Shorten the comment or split the line.',
  bad: { role: 'start', text: `G28 ; ${'all axes, '.repeat(30)}\n` },
  good: { role: 'start', text: 'G28 ; all axes\n' },
  check(view, report) {
    const most = view.machine?.controller.longestLine ?? STANDARD;
    const from = view.machine?.controller.longestLine
      ? `what ${view.machine.name} reads`
      : 'RS-274 allows (NISTIR 6556 3.3)';
    for (const { span } of view.tree.lines) {
      // A tag is gone once it is filled in, and what then stands there has a character at least.
      const tags = view.tree.tags.filter((t) => t.span.start >= span.start && t.span.end <= span.end);
      const length = tags.reduce(
        (n, { span: tag, kind }) => n - (tag.end - tag.start) + (kind === 'value' ? 1 : 0),
        span.end - span.start,
      );
      if (length > most)
        report({
          span: { start: Math.min(span.start + most, span.end - 1), end: span.end },
          message: `The line is ${tags.length > 0 ? 'at least ' : ''}${length} characters long, ${length - most} more than ${from}: ${most}. Shorten or split it.`,
        });
    }
  },
};

import type { Machine } from '../machine/machine.ts';
import type { Rule } from './rule.ts';

/** RS-274 (NISTIR 6556 3.3): characters a line. */
const STANDARD = 256;

/** The longest line of which nothing is told, characters. */
export const longestLine = (machine: Machine | null): number => machine?.controller.longestLine ?? STANDARD;

/** A line longer than the controller reads. */
export const longLine: Rule = {
  id: 'long-line',
  severity: 'warning',
  title: 'A line that is longer than the controller reads',
  scope: 'spelling',
  check(view, report) {
    const most = longestLine(view.machine);
    const from = view.machine?.controller.longestLine
      ? `what ${view.machine.name} reads`
      : 'RS-274 allows (NISTIR 6556 3.3)';
    const { tags, lines } = view.tree;
    let next = 0;
    for (const { span, comments } of lines) {
      let length = span.end - span.start;
      if (length <= most) continue;
      // A tag is gone once it is filled in, and what then stands there has a character at least.
      while (next < tags.length && (tags[next]?.span.start ?? 0) < span.start) next++;
      const first = next;
      for (let tag = tags[next]; tag && tag.span.start < span.end; tag = tags[++next])
        length -= tag.span.end - tag.span.start - (tag.kind === 'value' ? 1 : 0);
      if (length <= most) continue;
      const comment = comments.at(-1);
      const onlyComment = comment !== undefined && comment.span.start <= span.start + most;
      report({
        span: { start: Math.min(span.start + most, span.end - 1), end: span.end },
        ...(onlyComment ? { severity: 'info' as const } : {}),
        message: `The line is ${next > first ? 'at least ' : ''}${length} characters long, ${length - most} more than ${from}: ${most}. ${onlyComment ? 'Shorten the comment.' : 'Shorten or split it.'}`,
      });
    }
  },
};

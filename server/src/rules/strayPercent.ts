import { between, lineAt, tokenAt } from '../syntax/at.ts';
import { type Line, TokenKind } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import { withoutLine } from './edits.ts';
import type { Rule } from './rule.ts';

/** A line of % where neither a file begins nor ends. */
export const strayPercent: Rule = {
  id: 'stray-percent',
  severity: 'warning',
  title: 'A % in the midst of a job',
  scope: 'whole',
  awaitsRest: true,
  check({ tree, role }, report) {
    const { text } = tree;
    if (!text.includes('%')) return;
    // Comments may stand in front of the first mark and behind the last.
    const rows = tree.lines.filter(({ span, comments }) =>
      /[^\s\ufeff]/.test(comments.reduceRight((row, at) => row.replace(slice(text, at.span), ''), slice(text, span))),
    );
    const within = (row: Line | undefined, at: number): boolean =>
      row !== undefined && row.span.start <= at && at < row.span.end;
    for (let at = text.indexOf('%'); at >= 0; at = text.indexOf('%', at + 1)) {
      if (tokenAt(tree, at)?.kind !== TokenKind.mark) continue;
      const opens = within(rows[0], at) && (role === 'start' || role === 'program');
      const closes = within(rows.at(-1), at) && (role === 'end' || role === 'program');
      if (opens || closes) continue;
      report({
        span: { start: at, end: at + 1 },
        message:
          'A line with only a % ends the file for controllers that know the mark, and nothing behind it runs; others refuse it. Take it out.',
      });
    }
  },
  blind: ({ tree }) => {
    for (let at = tree.text.indexOf('%'); at >= 0; at = tree.text.indexOf('%', at + 1))
      if (tokenAt(tree, at)?.kind === TokenKind.stray && between(tree.tags, lineAt(tree, at).span).length > 0)
        return 'whether a % stands alone on its line hangs on the job';
    return null;
  },
  fix: (view, { span }) => [
    { title: 'Take the % out', edits: [withoutLine(view, span.start)], safe: false, preferred: true },
  ],
};

import { notFollowed } from './blind.ts';
import { fanAfter } from './fans.ts';
import type { Jobs } from './jobs.ts';
import { hasAll, isPlain, rowsWhereItEnds } from './lines.ts';
import type { Rule } from './rule.ts';

/** An end sequence that leaves the part's fan running. */
export const fanLeftOn: Rule = {
  id: 'fan-left-on',
  severity: 'hint',
  title: 'The fan is left on at the end',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    const last = view.commands.at(-1);
    if (view.role !== 'end' || !last || !hasAll(view, ['M107'])) return;
    let fan: Jobs = 'all';
    for (const step of view.trace.settings) fan = fanAfter(fan, step);
    if (fan === 'none') return;
    report({
      span: last.node.codeSpan,
      certain: fan === 'all',
      message:
        'The end sequence does not switch the fan for the part off, so it runs on for as long as the machine is on. Add M107.',
    });
  },
  blind: (view) => (view.role === 'end' ? notFollowed(view) : null),
  fix(view) {
    const edit = rowsWhereItEnds(view, ['M107']);
    return edit ? [{ title: 'Add M107', edits: [edit], safe: isPlain(view), preferred: true }] : [];
  },
};

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
  why: 'The fan for the part mostly runs when the last layer ends. Nothing stops it but M107 or M106 S0: it goes on blowing, for days if nobody comes, and wears. Switch it off in the end sequence. The fan of the hot end is another one, and should run until the nozzle is cold; most machines see to it.',
  bad: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F480\nM104 S0\nM140 S0\nM84\n' },
  good: { role: 'end', text: 'G90\nG1 Z{{ min(part.top + 5, reach.top) }} F480\nM104 S0\nM140 S0\nM107\nM84\n' },
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

import { isExact } from '../placeholders/bounds.ts';
import { notFollowed } from './blind.ts';
import { linesAtEnd } from './edits.ts';
import { isAbove } from './jobs.ts';
import type { Rule } from './rule.ts';
import { num, range } from './say.ts';

/** So much pulled back against oozing is made good by the job's first line, mm. Common practice, no source. */
const LITTLE = 2;

/** A start that hands over with a lot of filament pulled back. */
export const unretractMissing: Rule = {
  id: 'unretract-missing',
  severity: 'warning',
  title: 'Filament is handed over pulled back',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (view.role !== 'start') return;
    const { retracted } = view.trace.end;
    const last = view.commands[view.commands.length - 1];
    if (!last || !retracted) return;
    const much = isAbove(retracted, LITTLE);
    if (much === 'none') return;
    report({
      span: last.node.span,
      certain: much === 'all',
      message: `The start sequence hands over with ${range(retracted)} mm of filament pulled back, and the job’s first line will lack it. Push it forward again before the end.`,
    });
  },
  blind(view) {
    if (view.role !== 'start') return null;
    return view.trace.end.retracted ? notFollowed(view) : 'how much filament is pulled back at the end is not known';
  },
  fix(view) {
    const { retracted, relativeE, inches, stopped } = view.trace.end;
    if (!isExact(retracted) || relativeE !== true || inches !== false || stopped !== false) return [];
    const row = `G1 E${num(retracted.lo)} F1800`;
    return [{ title: `Add ${row} at the end`, edits: [linesAtEnd(view, [row])], safe: false, preferred: true }];
  },
};

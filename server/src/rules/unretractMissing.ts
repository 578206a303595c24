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
  why: 'A job’s first line takes it that the nozzle is full. What a start has pulled back and not pushed forward again is missing there: the line begins with a gap that is many times as long as the pull, since a thin bead uses little filament. Up to 2 mm against oozing is common practice; push the rest forward before the hand-over.',
  bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X94 E8.2 F1110\nG1 E-4.4 F1620\n' },
  good: {
    role: 'start',
    text: 'G21\nG90\nM83\nG28\nM109 S210\nG1 X94 E8.2 F1110\nG1 E-4.4 F1620\nG1 Z3 F570\nG1 E4.4 F1620\n',
  },
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

import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { commandsThat } from './byLine.ts';
import { feeds, movesFilament, surelyMovesFilament } from './coldExtrusion.ts';
import { linesAbove } from './edits.ts';
import { beginsCold, mayDoAnything } from './heatSteps.ts';
import { both, type Jobs, less } from './jobs.ts';
import { tagOf } from './lines.ts';
import type { Rule } from './rule.ts';
import { wordSpan } from './say.ts';

/** Filament is moved on a machine of several tools before any was picked. */
export const toolNotPicked: Rule = {
  id: 'tool-not-picked',
  severity: 'warning',
  title: 'Filament moved before a tool is picked',
  scope: 'whole',
  check(view, report) {
    if (!beginsCold(view) || view.trace.start.nozzles.length < 2) return;
    // Told once, at the first place: what it tells in some jobs leaves it open for the others.
    let open: Jobs = 'all';
    for (const step of view.trace.steps) {
      if (selectsTool(step)) open = less(open, step, 'all');
      else if (mayDoAnything(step)) open = less(open, step, 'some');
      if (open === 'none') return;
      if (!movesFilament(step)) continue;
      const feeds: Jobs = surelyMovesFilament(step) ? 'all' : 'some';
      report({
        span: wordSpan(step, 'filament'),
        step,
        certain: both(open, feeds) === 'all',
        message: `Filament is moved here, and no tool has been picked on a machine of ${step.before.nozzles.length}: which nozzle it comes from depends on what ran before. Put T0, or the tool that is meant, further up.`,
      });
      open = less(open, step, feeds);
      if (open === 'none') return;
    }
  },
  once: {
    of: 'filament',
    note(step, _, told) {
      if (selectsTool(step) || feeds(step)) told.add(SETTLED);
    },
    isQuiet: ({ nozzles }, _, told) => nozzles.length < 2 || told.has(SETTLED),
  },
  blind: notFollowed,
  fix(view, { span }) {
    const [heat] = HEATS(view).items;
    const at = Math.min(heat?.line.span.start ?? span.start, span.start);
    const row = `T${tagOf(view, 'tool.number') ?? '0'}`;
    return [{ title: `Add ${row}`, edits: [linesAbove(view, at, [row])], safe: false }];
  },
};

const SETTLED = 'settled';

const selectsTool = ({ command: { record } }: Step): boolean =>
  record?.effects.some((e) => e.do === 'select-tool') ?? false;

const HEATS = commandsThat(
  ({ node, record }) =>
    node.section === null && Boolean(record?.effects.some((e) => e.do === 'heat' && e.heater === 'nozzle')),
);

import { notFollowed } from './blind.ts';
import { commandsThat } from './byLine.ts';
import { commandAt, linesAbove } from './edits.ts';
import { allHomed } from './heatSteps.ts';
import { not } from './jobs.ts';
import { movedLine } from './lines.ts';
import type { Rule } from './rule.ts';
import { isUsual } from './settings.ts';

/** Commands that measure or level, and need homed axes for it. */
export const LEVELS: readonly string[] = ['G29', 'G34'];

const HOMES = commandsThat(
  ({ record, words }) => words.length === 0 && Boolean(record?.effects.some((effect) => effect.do === 'home')),
);

/** The bed is measured before the machine knows where its axes stand. */
export const levelBeforeHome: Rule = {
  id: 'level-before-home',
  severity: 'warning',
  title: 'The bed is measured before homing',
  scope: 'line',
  check(view, report) {
    for (const step of view.trace.settings) {
      const { command, before } = step;
      if (!LEVELS.includes(command.code) || !isUsual(view, step)) continue;
      const unhomed = not(allHomed(before));
      if (unhomed === 'none') continue;
      report({
        span: command.node.codeSpan,
        step,
        certain: unhomed === 'all',
        message: `${command.code} measures the bed before all axes are homed: the probe may go anywhere, or the controller refuses. Put G28 before it.`,
      });
    }
  },
  blind: notFollowed,
  fix(view, { span }) {
    const level = commandAt(view, span.start);
    if (!level) return [];
    const home = HOMES(view).below(level.line.index);
    const edits = home ? movedLine(view, home, level, 'above') : [linesAbove(view, span.start, ['G28'])];
    return edits ? [{ title: 'Home first', edits, safe: false, preferred: true }] : [];
  },
};

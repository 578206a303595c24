import { notFollowed } from './blind.ts';
import { heats, waitsForHeat } from './byLine.ts';
import { commandAt } from './edits.ts';
import { beginsCold, heatsOf, laterThan } from './heatSteps.ts';
import { both, inJobs, isAbove, not } from './jobs.ts';
import { movedLine } from './lines.ts';
import type { Rule } from './rule.ts';
import { range } from './say.ts';
import { isUsual } from './settings.ts';

const BED_WAITS = waitsForHeat('bed');
const BED_HEATS = heats('bed');

/** The bed is measured before it has its heat. */
export const coldProbing: Rule = {
  id: 'cold-probing',
  severity: 'warning',
  title: 'The bed is measured before it is warm',
  scope: 'whole',
  check(view, report) {
    if (!beginsCold(view)) return;
    const { settings } = view.trace;
    if (!settings.some(({ command }) => command.code === 'G29')) return;
    const later = laterThan(settings, (step) =>
      heatsOf(step).some(({ heater }) => heater === 'bed') ? isAbove(step.after.bed.target, 0) : 'none',
    );
    settings.forEach((step, i) => {
      const { command, before } = step;
      if (command.code !== 'G29' || !isUsual(view, step)) return;
      const { target, awaited } = before.bed;
      const on = isAbove(target, 0);
      const { codeSpan: span } = command.node;
      const offNow = both(not(on), later[i] ?? 'none');
      if (offNow !== 'none')
        report({
          span,
          about: 'off',
          // Without the step, since what heats the bed behind it counts too.
          until: Math.max(command.line.index, BED_HEATS(view).items.at(-1)?.line.index ?? 0),
          certain: offNow === 'all' && step.certain,
          message:
            'The bed is measured while its heater is off, and is heated later: it bends as it warms up. Wait for the bed (M190) before this.',
        });
      const onItsWay = both(on, not(inJobs(awaited)));
      if (onItsWay !== 'none')
        report({
          span,
          step,
          about: 'on its way',
          severity: 'info',
          certain: onItsWay === 'all',
          message: `The bed is measured while it is still warming up${target ? ` (to ${range(target)} °C)` : ''}: it goes on bending. Wait for it (M190) before this.`,
        });
    });
  },
  blind: notFollowed,
  fix(view, { span }) {
    const level = commandAt(view, span.start);
    const wait = level && BED_WAITS(view).below(level.line.index);
    const edits = level && wait && movedLine(view, wait, level, 'above');
    return edits ? [{ title: 'Put M190 above G29', edits, safe: false, preferred: true }] : [];
  },
};

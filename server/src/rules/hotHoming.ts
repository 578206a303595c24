import { shownCode } from '../commands/bind.ts';
import { noMachine, notFollowed } from './blind.ts';
import { commandsThat, waitsForHeat } from './byLine.ts';
import { commandAt } from './edits.ts';
import { nozzleInUse } from './heaters.ts';
import { beginsCold, drips } from './heatSteps.ts';
import { movedLine } from './lines.ts';
import type { Rule } from './rule.ts';
import { range } from './say.ts';

/** Homed Z at or below this height is homed on the bed, mm. Common practice, no source. */
const NEAR_BED = 5;

/** Z is homed onto the bed with a nozzle that drips. */
export const hotHoming: Rule = {
  id: 'hot-homing',
  severity: 'info',
  title: 'Z is homed with a hot nozzle over the bed',
  scope: 'line',
  check(view, report) {
    if (!beginsCold(view) || !view.machine || view.machine.home.z > NEAR_BED) return;
    for (const step of view.trace.settings) {
      if (step.move?.kind !== 'home' || !step.move.moves.z) continue;
      const happens = drips(view, step.before);
      if (happens === 'none') continue;
      const target = nozzleInUse(step.before)?.target;
      report({
        span: step.command.node.codeSpan,
        step,
        certain: happens === 'all',
        message: `Z is homed towards the bed with the nozzle at ${target ? `${range(target)} °C` : 'printing heat'}: what drips from it is pressed onto the plate. Home before heating it fully.`,
      });
    }
  },
  blind: (view) => noMachine(view) ?? notFollowed(view),
  fix(view, { span }) {
    const home = commandAt(view, span.start);
    if (!home) return [];
    const heat = WAITS(view).above(home.line.index);
    // Moves between the two may count on the place where they begin.
    if (!heat || (MOVES(view).below(heat.line.index)?.line.index ?? home.line.index) < home.line.index) return [];
    const edits = movedLine(view, home, heat, 'above');
    return edits ? [{ title: `Put ${shownCode(home)} above ${heat.code}`, edits, safe: false, preferred: true }] : [];
  },
};

const WAITS = waitsForHeat('nozzle');
/** Anything but heating, fans and modes that are no matter to homing. */
const MOVES = commandsThat(({ code }) => !/^M(10[4-7]|1[149]\d|82|83|117)$/.test(code));

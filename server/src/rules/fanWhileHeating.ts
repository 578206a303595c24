import { type BoundCommand, shownCode } from '../commands/bind.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { commandsThat } from './byLine.ts';
import { commandAt } from './edits.ts';
import { fanAfter, ofAnotherFan } from './fans.ts';
import { beginsCold, heaterOf, waitsFor } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import { both, isAbove, type Jobs } from './jobs.ts';
import { movedLine } from './lines.ts';
import type { Rule } from './rule.ts';

/** The part's fan blows while the nozzle is being heated. */
export const fanWhileHeating: Rule = inPieces({
  id: 'fan-while-heating',
  severity: 'hint',
  title: 'The fan blows while the nozzle heats up',
  scope: 'whole',
  *check(view, report) {
    const pace = new Pace();
    if (!beginsCold(view)) return;
    let fan: Jobs = 'none';
    for (const step of view.trace.settings) {
      if (pace.due()) yield;
      fan = fanAfter(fan, step);
      if (fan === 'none' || !waitsFor(step).includes('nozzle')) continue;
      const happens = both(fan, isAbove(heaterOf(step.after, 'nozzle')?.target ?? null, 0));
      if (happens === 'none') continue;
      report({
        span: step.command.node.codeSpan,
        step,
        certain: happens === 'all',
        message:
          'The fan for the part is on while this waits for the nozzle: it cools what is being heated. Switch it on after this, or leave it off for the first layer (M107).',
      });
    }
  },
  blind: notFollowed,
  fix(view, { span }) {
    const wait = commandAt(view, span.start);
    const fan = wait && FANS(view).above(wait.line.index);
    const edits = wait && fan && movedLine(view, fan, wait, 'below');
    return edits
      ? [{ title: `Put ${shownCode(fan)} below ${shownCode(wait)}`, edits, safe: false, preferred: true }]
      : [];
  },
});

const isFanOn = ({ record }: BoundCommand): boolean =>
  Boolean(record?.effects.some((effect) => effect.do === 'fan' && effect.on));
const FANS = commandsThat((command) => isFanOn(command) && !ofAnotherFan(command));

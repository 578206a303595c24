import { normalCode } from '../commands/named.ts';
import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { commandsThat } from './byLine.ts';
import { commandAt, linesBelow } from './edits.ts';
import { allHomed, beginsCold, isZero, laterThan } from './heatSteps.ts';
import { both, type Jobs, most, not } from './jobs.ts';
import { hasAll, isPlain, movedLine } from './lines.ts';
import type { Fix, Rule, View } from './rule.ts';
import { isUsual } from './settings.ts';
import { wordsOf } from './words.ts';

const MEASURES = commandsThat(({ code }) => code === 'G29');

/** Homing again after the bed was measured, which many controllers take as a reason to forget the measure. */
export const levelLost: Rule = {
  id: 'level-lost',
  severity: 'info',
  title: 'The bed is measured, and then homed again',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    const after = view.machine?.controller.meshAfterHoming ?? null;
    if (after === 'kept' || !beginsCold(view)) return;
    const { settings } = view.trace;
    const measures = (step: Step): boolean => step.command.code === 'G29' && isUsual(view, step);
    if (!settings.some(measures)) return;
    const back = laterThan(settings, (step) => (measures(step) || restores(step) ? 'all' : 'none'));
    let measured: Jobs = 'none';
    settings.forEach((step, i) => {
      // Measured before homing is another matter: `level-before-home`.
      if (measures(step)) measured = most(measured, step, allHomed(step.before));
      const lost = both(measured, not(back[i] ?? 'none'));
      if (lost === 'none' || step.move?.kind !== 'home' || !step.move.moves.z) return;
      report({
        span: step.command.node.codeSpan,
        // Without the step, since what comes behind it counts too.
        certain: lost === 'all' && step.certain,
        ...(after === 'forgotten' ? { severity: 'warning' } : {}),
        message: `Z is homed again after the bed was measured; ${after === 'forgotten' ? 'this controller then stops' : 'many controllers then stop'} evening it out, and nothing switches that on again. Home before measuring${names(view, 'M420') ? ', or add M420 S1 below' : ''}.`,
      });
    });
  },
  blind: notFollowed,
  fix(view, { span }) {
    const home = commandAt(view, span.start);
    const level = home && MEASURES(view).above(home.line.index);
    if (!home || !level) return [];
    const fixes: Fix[] = [];
    const edits = movedLine(view, level, home, 'below');
    if (edits) fixes.push({ title: 'Measure after homing', edits, safe: false });
    if (isPlain(view) && names(view, 'M420') && hasAll(view, ['M420']))
      fixes.push({
        title: 'Add M420 S1 to use the measure again',
        edits: [linesBelow(view, span.start, ['M420 S1'])],
        safe: false,
      });
    return fixes;
  },
};

/** Whether the machine file says that this controller has a command. */
const names = ({ machine }: View, code: string): boolean =>
  machine?.commands.some(({ name }) => normalCode(name) === code) ?? false;

/** Switches the measure on again; so may a command of the machine's own. */
const restores = (step: Step): boolean =>
  step.command.node.named ||
  step.command.node.code === null ||
  (step.command.code === 'M420' && !wordsOf(step).some((w) => w.key === 'S' && isZero(w)));

import { targetKeys } from '../commands/quantity.ts';
import type { Step } from '../simulate/trace.ts';
import { noMachine, notFollowed } from './blind.ts';
import { commandAt, withoutLine } from './edits.ts';
import { heatsOf, waitsFor } from './heatSteps.ts';
import { atLeast, isAbove, type Jobs, not } from './jobs.ts';
import { ownLine } from './lines.ts';
import type { Rule, View } from './rule.ts';
import { numberOfWord, wordIn, wordsOf } from './words.ts';

/** Nothing in a usual room cools down below this, degrees C. Common practice, no source. */
const ROOM = 18;

/** A wait for a temperature that never comes. */
export const endlessWait: Rule = {
  id: 'endless-wait',
  severity: 'warning',
  title: 'A wait that never ends',
  scope: 'line',
  check(view, report) {
    for (const step of view.trace.settings) {
      const waits = waitsFor(step);
      if (waits.length === 0 || view.catalog.isMissing(step.command.code)) continue;
      const span = step.command.node.codeSpan;
      const { target } = step.after.chamber;
      if (waits.includes('chamber') && view.machine && !view.machine.heat.chamber) {
        const heated = isAbove(target, 0);
        if (heated !== 'none' && target)
          report({
            span,
            step,
            about: 'chamber',
            certain: heated === 'all',
            message: `${view.machine.name} has no chamber heater in its machine file, so this may wait for ever. Leave it out, or state the heater under heat.chamber.`,
          });
      }
      const cold = coolsTooFar(step);
      if (cold !== 'none')
        report({
          span,
          step,
          about: 'cooling',
          certain: cold === 'all',
          message: `This waits for cooling to a temperature below that of most rooms (${ROOM} °C), and so may never end. Give R with a higher one, such as R40.`,
        });
    }
  },
  blind: (view) =>
    noMachine(view) ?? (unknownChamber(view) ? 'what the chamber is set to is not known' : notFollowed(view)),
  fix(view, { span, about }) {
    const wait = commandAt(view, span.start);
    if (about !== 'chamber' || !wait || !ownLine(wait)) return [];
    return [{ title: 'Remove the wait for the chamber', edits: [withoutLine(view, span.start)], safe: false }];
  },
};

/** Whether a step waits for cooling down to what no room lets it reach. */
function coolsTooFar(step: Step): Jobs {
  for (const heat of heatsOf(step)) {
    const [key, coolKey] = targetKeys(heat);
    const word = wordIn(step, coolKey);
    if (!heat.wait || !word?.value || wordsOf(step).some((w) => w.key === key || w.key === '')) continue;
    const number = numberOfWord(step, word);
    return number === undefined ? 'none' : not(atLeast(number, ROOM));
  }
  return 'none';
}

const unknownChamber = ({ machine, trace }: View): boolean =>
  !machine?.heat.chamber &&
  trace.settings.some((step) => !step.after.chamber.target && waitsFor(step).includes('chamber'));

import { type BoundCommand, shownCode } from '../commands/bind.ts';
import { hasWordFor } from '../commands/wordFor.ts';
import { join, type Known, subtract } from '../placeholders/bounds.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { commandsThat, heats } from './byLine.ts';
import { commandAt } from './edits.ts';
import { nozzleInUse } from './heaters.ts';
import { beginsCold, dripsFrom, heatsOf, mustWait, waitsFor } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import { atLeast, both, either, type Jobs, most, not } from './jobs.ts';
import { movedLine } from './lines.ts';
import type { Rule, View } from './rule.ts';
import { num, range } from './say.ts';

/** The nozzle is at printing heat, or on its way there, while the slow bed is waited for. */
export const hotWhileBedWarms: Rule = inPieces({
  id: 'nozzle-hot-while-bed-warms',
  severity: 'hint',
  title: 'The nozzle waits hot while the bed warms up',
  scope: 'whole',
  awaitsRest: true,
  *check(view, report) {
    const pace = new Pace();
    if (!beginsCold(view)) return;
    const { settings } = view.trace;
    let heats: readonly number[] | null = null;
    let behind = 0;
    for (const [i, step] of settings.entries()) {
      if (pace.due()) yield;
      if (!waitsFor(step).includes('bed')) continue;
      heats ??= heatsNozzle(settings);
      while ((heats[behind] ?? Number.POSITIVE_INFINITY) <= i) behind++;
      const later = heats.slice(behind, behind + MOST_HEATS).map((at) => settings[at] as Step);
      const target = targetOf(step.before);
      const hot = both(atLeast(target, dripsFrom(view)), not(heatedMuchMore(later, target)));
      const happens = both(hot, mustWait(step, 'bed'));
      if (happens === 'none') continue;
      report({
        span: step.command.node.codeSpan,
        // Without the step, since what heats the nozzle behind it counts too.
        until: Math.max(step.command.line.index, HEATS_NOZZLE(view).items.at(-1)?.line.index ?? 0),
        certain: happens === 'all' && step.certain,
        message: `The nozzle is set to ${target ? range(target) : 'printing heat'}${target ? ' °C' : ''} while this waits for the bed, which takes far longer: it drips, and the plastic in it cooks. Wait for the bed first, with the nozzle below ${num(dripsFrom(view))} °C.`,
      });
    }
  },
  blind: notFollowed,
  fix(view, { span }) {
    const wait = commandAt(view, span.start);
    const nozzle = wait && lastNozzle(view, wait);
    // What feeds filament between the two would be left cold.
    if (!wait || !nozzle || feedsBetween(view, nozzle, wait)) return [];
    const edits = movedLine(view, nozzle, wait, 'below');
    return edits
      ? [{ title: `Put ${shownCode(nozzle)} below ${shownCode(wait)}`, edits, safe: false, preferred: true }]
      : [];
  },
});

/** So far below its printing heat a nozzle is soft only, whatever the filament, degrees C. Common practice, no source. */
const SOFTER = 30;

/** What the nozzle in use is set to; where which one is in use is not known, what any of them may be set to. */
function targetOf(state: State): Known {
  const nozzle = nozzleInUse(state);
  if (nozzle) return nozzle.target;
  const [first = null, ...others] = state.nozzles.map(({ target }) => target);
  return others.reduce<Known>(join, first);
}

/** Which of these steps heat the nozzle. */
const heatsNozzle = (steps: readonly Step[]): number[] =>
  steps.flatMap((step, i) => (heatsOf(step).some(({ heater }) => heater === 'nozzle') ? [i] : []));

/** In how many jobs the nozzle is heated further, and by much, behind this place. */
function heatedMuchMore(later: readonly Step[], target: Known): Jobs {
  let more: Jobs = 'none';
  for (const step of later) more = most(more, step, atLeast(subtract(targetOf(step.after), target), SOFTER));
  return later.length < MOST_HEATS ? more : either(more, 'some');
}

/** Steps behind a wait that are looked at; with more of them it is left open. No sequence heats its nozzle so often. */
const MOST_HEATS = 24;

const HEATS_NOZZLE = heats('nozzle');
const FEEDS = commandsThat((command) => command.node.named || hasWordFor(command, 'filament'));

/** The command that heated the nozzle last before this one. */
const lastNozzle = (view: View, { line }: BoundCommand): BoundCommand | undefined =>
  HEATS_NOZZLE(view).above(line.index);

const feedsBetween = (view: View, from: BoundCommand, to: BoundCommand): boolean =>
  (FEEDS(view).below(from.line.index)?.line.index ?? to.line.index) < to.line.index;

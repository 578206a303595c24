import type { Heater, State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { Pace } from '../text/pieces.ts';
import { unknownIn } from './blind.ts';
import { coldest } from './coldAllowed.ts';
import { linesAbove, linesBelow } from './edits.ts';
import { isAsHot, nozzleInUse } from './heaters.ts';
import { waitsFor } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import { tagOf } from './lines.ts';
import type { Rule, View } from './rule.ts';
import { num, onMachine, range, wordSpan } from './say.ts';

/** Filament moved while the nozzle is too cold to melt it, or a start that hands over a cold nozzle. */
export const coldExtrusion: Rule = inPieces({
  id: 'cold-extrusion',
  severity: 'error',
  title: 'Filament moved through a cold nozzle',
  scope: 'whole',
  *check(view, report) {
    const pace = new Pace();
    const min = coldest(view);
    const where = view.machine ? onMachine(view.machine) : '';
    let told: Heater | null = null;
    const allows = coldAllowance();
    const cools = coolsFromHeat(view, min);
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      const allowed = allows(step);
      const cooling = cools(step);
      if (allowed === true) continue;
      const heater = nozzleInUse(step.before);
      if (!heater?.now || heater.now.lo >= min || isAsHot(heater, told) || !movesFilament(step)) continue;
      // Hot when the text began, and at most switched off since: how far it has cooled, no job tells; `blind` says so.
      if (cooling && heater.now.hi >= min) continue;
      if (isOnItsWay(heater, min)) continue;
      const certain = heater.now.hi < min && allowed === false && surelyMovesFilament(step);
      const target = heater.target;
      const state = !target || target.hi > 0 ? `is at ${num(heater.now.hi)} °C at most here` : 'is not heated here';
      report({
        span: wordSpan(step, 'filament'),
        step,
        certain,
        message: `The nozzle${toolName(step.before)} ${state}, and filament needs at least ${num(min)} °C${where}. Heat it and wait (M109 S…) before this line.`,
      });
      if (certain && step.certain) told = heater;
    }
    if (view.role !== 'start') return;
    const { end } = view.trace;
    const tag = tagOf(view, 'heat.nozzle.first');
    const last = view.commands[view.commands.length - 1];
    const heater = nozzleInUse(end);
    if (!last || !heater?.target || heater.target.lo >= min || heater.awaited === false) return;
    report({
      span: last.node.span,
      certain: heater.target.hi < min && heater.awaited !== null,
      message: `The start sequence ends with the nozzle ${heater.target.hi <= 0 ? 'not heated' : `set to ${range(heater.target)} °C`}, and the job extrudes at once; it needs at least ${num(min)} °C${where}. Heat it and wait${tag ? `: M109 S${tag}` : ' (M109 S…)'}.`,
    });
  },
  once: {
    of: 'filament',
    note(step, machine, told) {
      const heater = nozzleInUse(step.before);
      if (!heater || step.before.coldAllowed === true || !feeds(step)) return;
      const min = coldest({ machine });
      if (mayBeCold(heater, min) && heater.now && heater.now.hi < min) remember(told, heater);
    },
    isQuiet(state, machine, told) {
      const heater = nozzleInUse(state);
      if (!heater || state.coldAllowed === true) return true;
      return !mayBeCold(heater, coldest({ machine })) || told.has(heater);
    },
  },
  blind(view) {
    const reason = 'how hot the nozzle is where filament moves is not known';
    if (view.role === 'start' && !nozzleInUse(view.trace.end)?.target) return reason;
    const waits = view.trace.steps.some((step) => nozzleInUse(step.before)?.awaited === false && movesFilament(step));
    if (waits) return 'filament moves while the nozzle is on its way to its heat: see not-awaited';
    const min = coldest(view);
    return unknownIn(
      view,
      (step) => {
        const now = nozzleInUse(step.before)?.now;
        const unsure = !now || (view.role !== 'start' && now.lo < min && now.hi >= min);
        return unsure && movesFilament(step);
      },
      reason,
    );
  },
  fix(view, { span }) {
    const tag = tagOf(view, view.role === 'start' ? 'heat.nozzle.first' : 'heat.nozzle.later');
    if (!tag) return [];
    const row = `M109 S${tag}`;
    const handsOver =
      view.commands.at(-1)?.node.span.end === span.end && /^[^E]/i.test(view.tree.text.slice(span.start));
    const edit = (handsOver ? linesBelow : linesAbove)(view, span.start, [row]);
    return [{ title: `Add ${row}`, edits: [edit], safe: false, preferred: true }];
  },
});

/** On its way to a heat that will do: that nothing has waited for it is told by `not-awaited`. */
const isOnItsWay = ({ awaited, target }: Heater, min: number): boolean =>
  awaited === false && target !== null && target.lo >= min;

/** Whether a heater may be too cold to feed filament through. */
const mayBeCold = (heater: Heater, min: number): boolean =>
  heater.now !== null && heater.now.lo < min && !isOnItsWay(heater, min);

/** Asked for each step in turn: whether the nozzles were hot at the beginning, and nothing has waited for them since. */
function coolsFromHeat({ trace: { start } }: View, min: number): (step: Step) => boolean {
  let so = start.nozzles.every(({ now }) => now !== null && now.lo >= min);
  return (step) => {
    const cools = so;
    so &&= step.command.record !== null && !waitsFor(step).includes('nozzle');
    return cools;
  };
}

/** " of tool 1" where there are several. */
const toolName = ({ nozzles, tool }: State): string => (nozzles.length > 1 && tool !== null ? ` of tool ${tool}` : '');

/**
 * Asked for each step in turn: whether cold extrusion is allowed before it. What no command has stated counts as not
 * allowed; null: some jobs allow it.
 */
export function coldAllowance(): (step: Step) => boolean | null {
  let stated = false;
  return ({ before, command }) => {
    const allowed = before.coldAllowed ?? (stated ? null : false);
    if (command.record?.effects.some((e) => e.do === 'allow-cold')) stated = true;
    return allowed;
  };
}

/** Whether it moves filament in every job. */
export function surelyMovesFilament({ move }: Step): boolean {
  return !!move?.e && (move.e.lo > 0 || move.e.hi < 0);
}

/** Whether this step is known to move filament, though in some jobs it may not. */
export const feeds = (step: Step): boolean => movesFilament(step) && step.move?.e !== null;

/** Keeps what was told last, and nothing else. */
export function remember(told: Set<unknown>, heater: Heater): void {
  told.clear();
  told.add(heater);
}

/** Whether this step moves filament either way; what is not known counts, since the word is there. */
export function movesFilament(step: Step): boolean {
  const { move } = step;
  if (!move || move.kind === 'home') return false;
  return move.e === null || move.e.lo !== 0 || move.e.hi !== 0;
}

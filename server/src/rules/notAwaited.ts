import type { HeaterKind } from '../machine/effect.ts';
import type { Heater } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { Pace } from '../text/pieces.ts';
import { awaitFix } from './awaitFix.ts';
import { unknownIn } from './blind.ts';
import { coldAllowance, feeds, movesFilament, remember, surelyMovesFilament } from './coldExtrusion.ts';
import { isAsHot, nozzleInUse } from './heaters.ts';
import { heaterOf, WAIT } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import type { Rule } from './rule.ts';
import { range, wordSpan } from './say.ts';

/** Extruding, or handing over to the job, while a heater is still on its way. */
export const notAwaited: Rule = inPieces({
  id: 'not-awaited',
  severity: 'error',
  title: 'A heater that is set but not waited for',
  scope: 'whole',
  *check(view, report) {
    const pace = new Pace();
    let told: Heater | null = null;
    const allows = coldAllowance();
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      const allowed = allows(step);
      if (allowed === true) continue;
      const heater = nozzleInUse(step.before);
      if (!heater?.target || !mayBeWaitedFor(heater) || isAsHot(heater, told)) continue;
      if (!movesFilament(step)) continue;
      const certain =
        heater.awaited === false && heater.target.lo > 0 && allowed === false && surelyMovesFilament(step);
      report({
        span: wordSpan(step, 'filament'),
        step,
        certain,
        message: `Filament is moved while the nozzle is still heating up (target ${range(heater.target)} °C): nothing has waited for it. Put M109 S… before this line.`,
      });
      if (certain && step.certain) told = heater;
    }
    if (view.role !== 'start') return;
    for (const kind of ['nozzle', 'bed', 'chamber'] as const) {
      const heater = heaterOf(view.trace.end, kind);
      if (!heater?.target || !mayBeWaitedFor(heater) || isAsHot(heater, told)) continue;
      const set = lastSet(view.trace.steps, kind);
      if (!set) continue;
      report({
        span: set.command.node.span,
        about: kind,
        certain: heater.awaited === false && heater.target.lo > 0,
        message: `The ${kind} is set here (${range(heater.target)} °C), and the start sequence ends without waiting for it. Put ${WAIT[kind]} S… further down.`,
      });
    }
  },
  once: {
    of: 'filament',
    note(step, _, told) {
      const heater = nozzleInUse(step.before);
      if (!heater || step.before.coldAllowed === true || !feeds(step) || !mayBeWaitedFor(heater)) return;
      if (heater.awaited === false && heater.target && heater.target.lo > 0) remember(told, heater);
    },
    isQuiet(state, _, told) {
      const heater = nozzleInUse(state);
      return !heater || state.coldAllowed === true || !mayBeWaitedFor(heater) || told.has(heater);
    },
  },
  blind(view) {
    const reason = 'what a heater is set to, where filament moves or at the end, is not known';
    const { end } = view.trace;
    const handsOver = [nozzleInUse(end)?.target, end.bed.target, end.chamber.target];
    if (view.role === 'start' && handsOver.some((target) => !target)) return reason;
    return unknownIn(view, (step) => !nozzleInUse(step.before)?.target && movesFilament(step), reason);
  },
  fix: awaitFix,
});

/** Whether a heater is set to some heat, and may not have been waited for. */
const mayBeWaitedFor = ({ target, awaited }: Heater): boolean => target !== null && awaited !== true && target.hi > 0;

/** The last step that set this heater's target without waiting. */
function lastSet(steps: readonly Step[], kind: HeaterKind): Step | null {
  for (let i = steps.length - 1; i >= 0; i--) {
    const step = steps[i] as Step;
    if (step.command.record?.effects.some((e) => e.do === 'heat' && e.heater === kind && !e.wait)) return step;
  }
  return null;
}

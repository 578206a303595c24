import type { HeaterKind } from '../machine/effect.ts';
import { type Known, subtract } from '../placeholders/bounds.ts';
import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { stepsThat } from './byLine.ts';
import { coldest } from './coldAllowed.ts';
import { coldAllowance, movesFilament } from './coldExtrusion.ts';
import { commandAt, linesAbove } from './edits.ts';
import { does } from './handOver.ts';
import { nozzleInUse } from './heaters.ts';
import { heaterOf, heatsOf, mayDoAnything, WAIT, waitsFor } from './heatSteps.ts';
import { both, either, inJobs, isAbove, isBelow, type Jobs, less, most, not, turned } from './jobs.ts';
import { hasAll, isPlain, rowsWhereItEnds, tagOf } from './lines.ts';
import type { Fix, Report, Rule, View } from './rule.ts';
import { range } from './say.ts';
import { takenOut } from './takenOut.ts';

const KINDS: readonly HeaterKind[] = ['nozzle', 'bed', 'chamber'];

/** A sequence within the job that lets a heater cool, and goes on without having waited for it again. */
export const goesOnCold: Rule = {
  id: 'goes-on-cold',
  severity: 'warning',
  title: 'The job goes on with a heater that was let cool',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (!isWithinJob(view)) return;
    for (const kind of KINDS) if (kind !== 'chamber' || view.machine?.heat.chamber) follow(view, kind, report);
  },
  blind: (view) => (isWithinJob(view) ? notFollowed(view) : null),
  fix(view, { span, about = '' }) {
    const [kind, end] = [KINDS.find((one) => about.startsWith(one)), !about.endsWith(FEEDS)];
    const tag = kind && tagOf(view, kind === 'chamber' ? 'heat.chamber' : `heat.${kind}.later`);
    const fixes: Fix[] = [];
    if (kind && tag && hasAll(view, [WAIT[kind]]) && isPlain(view)) {
      const row = `${WAIT[kind]} S${tag}`;
      const cools = commandAt(view, span.start);
      const feeds = cools && FEEDING(view).below(cools.line.index);
      const edit = end ? rowsWhereItEnds(view, [row]) : feeds && linesAbove(view, feeds.command.line.span.start, [row]);
      if (edit) fixes.push({ title: `Add ${row}`, edits: [edit], safe: false, preferred: kind === 'nozzle' });
    }
    const out = takenOut(view, span.start);
    if (out) fixes.push({ title: 'Take this line out', edits: [out], safe: false, preferred: kind !== 'nozzle' });
    return fixes;
  },
};

const FEEDS = ' feeds';
const FEEDING = stepsThat(movesFilament);

/** Whether the job goes on behind a text, as hot as it was before. */
const isWithinJob = ({ role }: View): boolean => role === 'layer' || role === 'swap' || role === 'pause';

/** Follows one heater from the step that lets it cool to where the job, or the sequence itself, needs its heat again. */
function follow(view: View, kind: HeaterKind, report: (finding: Report) => void): void {
  const { steps, start, end } = view.trace;
  const least = coldest(view);
  const begin = heaterOf(start, kind)?.target ?? null;
  const wasOn = begin && kind !== 'nozzle' ? isAbove(begin, 0) : 'all';
  /** Colder than the job had it: a nozzle too cold to melt the filament; what warms the part, off. */
  const isLow = (target: Known): Jobs => {
    const colder = begin ? isAbove(subtract(begin, target), 0) : 'all';
    return both(colder, kind === 'nozzle' ? isBelow(target, least) : both(wasOn, not(isAbove(target, 0))));
  };
  const targetOf = (step: Step): Known => heaterOf(step.after, kind)?.target ?? null;
  const allows = coldAllowance();
  // Each step that may have let it cool, and in how many jobs it has and nothing has waited for its heat since.
  let coolers: Step[] = [];
  let cold: Jobs = 'none';
  // In how many jobs one of them is still to be told: where the matter was settled meanwhile, there is none left.
  let listed: Jobs = 'none';
  const tell = (happens: Jobs, about: string, message: (step: Step) => string): void => {
    const last = coolers.at(-1);
    for (const step of coolers) {
      // Where only some jobs cool it here, the others have it from further up.
      const cools = step.certain && isLow(targetOf(step)) === 'all';
      const certain = both(happens, listed) === 'all' && step === last && cools;
      report({ span: step.command.node.span, about, certain, message: message(step) });
    }
  };
  for (const step of steps) {
    const allowed = allows(step);
    if (kind === 'nozzle' && cold !== 'none' && allowed !== true) {
      const feeds = feedsIn(step);
      const own = both(both(cold, feeds), silentElsewhere(step, begin, least));
      const sure = step.certain && allowed === false ? own : both(own, 'some');
      if (own !== 'none') tell(sure, kind + FEEDS, (cooler) => feedsMessage(cooler, step));
      // Told, here or by another rule; what comes behind is the same matter.
      cold = less(cold, step, allowed === false ? feeds : both(feeds, 'some'));
    }
    const heats = heatsOf(step).some(({ heater }) => heater === kind);
    const waits = waitsFor(step).includes(kind);
    const swaps = kind === 'nozzle' && does(step, 'select-tool');
    if (mayDoAnything(step)) cold = both(cold, 'some');
    else if (waits || swaps) cold = turned(cold, step, isLow(targetOf(step)));
    else if (heats && heaterOf(step.before, kind) !== heaterOf(step.after, kind))
      cold = most(cold, step, isLow(targetOf(step)));
    if (cold !== 'all') listed = both(listed, cold);
    if (cold === 'none') coolers = [];
    else if (heats && isLow(targetOf(step)) !== 'none') {
      const cools = step.certain && isLow(targetOf(step)) === 'all';
      coolers = cools ? [step] : [...coolers, step];
      listed = cools ? cold : either(listed, 'some');
    }
  }
  const target = heaterOf(end, kind)?.target ?? null;
  if (cold !== 'none') tell(cold, kind, (step) => endsMessage(view, kind, step, isLow(target) === 'none'));
}

/** In how many jobs a step pushes filament. */
function feedsIn(step: Step): Jobs {
  if (!movesFilament(step)) return 'none';
  return isAbove(step.move?.e ?? null, 0);
}

/** In how many jobs neither `cold-extrusion` (surely cold) nor `not-awaited` (on its way) tells of filament fed here. */
function silentElsewhere({ before }: Step, begin: Known, least: number): Jobs {
  const heater = nozzleInUse(before);
  const { now = null, target = null, awaited = null } = heater ?? {};
  const surelyCold = now !== null && now.hi < least;
  const cooling = surelyCold ? 'none' : !now || !begin || begin.lo >= least ? 'all' : 'some';
  return both(cooling, not(both(not(inJobs(awaited)), isAbove(target, 0))));
}

const said = (target: Known): string => (!target ? 'cooler' : target.hi <= 0 ? 'off' : `at ${range(target)} °C`);

function feedsMessage(cooler: Step, { command }: Step): string {
  const { line } = cooler.command;
  const where = command.line.index === line.index ? 'in this line' : `in line ${command.line.index + 1}`;
  return `From here on the nozzle is ${said(nozzleInUse(cooler.after)?.target ?? null)}, and filament is fed ${where} without heating it again: the longer the wait, the harder it is. Put M109 S… before that line.`;
}

function endsMessage(view: View, kind: HeaterKind, step: Step, isSet: boolean): string {
  const from = `From here on the ${kind} is ${said(heaterOf(step.after, kind)?.target ?? null)}`;
  const ends = isSet
    ? `it is set again further down, but the ${view.role} sequence ends without waiting for it`
    : `the ${view.role} sequence ends without heating it again`;
  const row = `${WAIT[kind]} S${tagOf(view, kind === 'chamber' ? 'heat.chamber' : `heat.${kind}.later`) ?? '…'}`;
  const cure =
    kind === 'nozzle'
      ? `the job goes on with a nozzle that does not melt its filament. Wait for it at the end: ${row}`
      : `the part may come off while it cools. Keep it on, or wait for it at the end: ${row}`;
  return `${from}, and ${ends}: ${cure}.`;
}

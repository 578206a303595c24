import type { BoundCommand } from '../commands/bind.ts';
import type { HeaterKind } from '../machine/effect.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { commandAt, linesAbove } from './edits.ts';
import { dripsFrom, heaterOf, heatsOf, WAIT } from './heatSteps.ts';
import { atLeast } from './jobs.ts';
import { hasAll, isPlain, ownLine, repeatable, rowsWhereItEnds } from './lines.ts';
import type { Finding, Fix, View } from './rule.ts';

/** Adds the wait that is missing, with the very temperature that was set: a finding of `not-awaited`. */
export function awaitFix(view: View, { span, about = 'nozzle' }: Finding): Fix[] {
  const kind: HeaterKind = about === 'bed' || about === 'chamber' ? about : 'nozzle';
  const here = commandAt(view, span.start);
  const { steps } = view.trace;
  const feeds = here && !setsHeat(here, kind) ? steps.find(({ command }) => command === here) : undefined;
  const set = steps.findLast(
    (step) =>
      setsHeat(step.command, kind) &&
      heaterOf(step.before, kind) !== heaterOf(step.after, kind) &&
      (!feeds || step.command.line.index < feeds.command.line.index),
  );
  const row = set && rowFor(view, set, kind);
  if (!row || !hasAll(view, [WAIT[kind]])) return [];
  const place = feeds ?? (kind === 'nozzle' ? null : nozzleWait(view, set));
  const edit = place ? linesAbove(view, place.command.line.span.start, [row]) : rowsWhereItEnds(view, [row]);
  if (!edit) return [];
  const safe = isPlain(view) && changesNothingElse(view, set, kind, place);
  return [{ title: `Add ${row}`, edits: [edit], safe, preferred: true }];
}

/** Whether a command sets a heater and goes on. */
const setsHeat = ({ record }: BoundCommand, kind: HeaterKind): boolean =>
  !!record?.effects.some((e) => e.do === 'heat' && e.heater === kind && !e.wait);

/** The same command, waiting; null where its temperature cannot be repeated somewhere else. */
function rowFor(view: View, { command }: Step, kind: HeaterKind): string | null {
  const { node, words } = command;
  if (node.named || node.section) return null;
  const parts: string[] = [];
  for (const word of words) {
    const value = word.section ? null : repeatable(view, word);
    if (value === null || !(word.key === 'S' || word.key === 'T')) return null;
    parts.push(` ${word.key}${value}`);
  }
  return parts.some((part) => part.startsWith(' S')) ? WAIT[kind] + parts.join('') : null;
}

/** The first wait for the nozzle behind a step: the slow heaters are waited for before it. */
const nozzleWait = (view: View, { command }: Step): Step | null =>
  view.trace.settings.find(
    (step) =>
      step.command.line.index > command.line.index &&
      ownLine(step.command) !== null &&
      heatsOf(step).some((e) => e.wait && e.heater === 'nozzle'),
  ) ?? null;

/** Whether the wait does nothing but wait, and gives no other rule anything to tell. */
function changesNothingElse(view: View, set: Step, kind: HeaterKind, place: Step | null): boolean {
  const { machine, trace } = view;
  const state: State = place?.before ?? trace.end;
  const heater = heaterOf(state, kind);
  const target = heater?.target;
  // One object: the same number in every job.
  if (!target || target !== heaterOf(set.after, kind)?.target || !set.certain) return false;
  // Where some jobs end earlier, they would still not have waited.
  if (view.commands.some((c) => c.node.section && c.record?.effects.some((e) => e.do === 'stop'))) return false;
  const max = machine?.heat[kind]?.max;
  if (target.hi > (max ?? Number.POSITIVE_INFINITY) || target.lo < 0) return false;
  if (kind === 'chamber') return !!machine?.heat.chamber;
  if (kind === 'bed') return atLeast(heaterOf(state, 'nozzle')?.target ?? null, dripsFrom(view)) === 'none';
  const later = place?.command.line.index ?? Number.POSITIVE_INFINITY;
  return (
    target.lo >= dripsFrom(view) &&
    trace.settings.every(
      ({ command, move, after }) =>
        !(command.record?.effects.some((e) => e.do === 'fan') && after.fan !== false) &&
        !(move?.kind === 'home' && command.line.index >= later),
    )
  );
}

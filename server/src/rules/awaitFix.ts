import type { BoundCommand } from '../commands/bind.ts';
import { findRecordWord } from '../commands/record.ts';
import { hasWordFor } from '../commands/wordFor.ts';
import type { HeaterKind } from '../machine/effect.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { commandsThat, stepsOf, stepsThat } from './byLine.ts';
import { commandAt, linesAbove } from './edits.ts';
import { dripsFrom, heaterOf, heatsOf, WAIT } from './heatSteps.ts';
import { atLeast } from './jobs.ts';
import { hasAll, isPlain, ownLine, repeatable, rowsWhereItEnds } from './lines.ts';
import type { Finding, Fix, View } from './rule.ts';

/** Adds the wait that is missing, with the very temperature that was set: a finding of `not-awaited`. */
export function awaitFix(view: View, { span, about = 'nozzle' }: Finding): Fix[] {
  const kind: HeaterKind = about === 'bed' || about === 'chamber' ? about : 'nozzle';
  const here = commandAt(view, span.start);
  const feeds = here && !setsHeat(here, kind) ? stepsOf(view, here)[0] : undefined;
  const set = SETS[kind](view).above(feeds?.command.line.index ?? Number.POSITIVE_INFINITY);
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

const setting = (kind: HeaterKind) =>
  stepsThat(
    ({ command, before, after }) => setsHeat(command, kind) && heaterOf(before, kind) !== heaterOf(after, kind),
  );

/** Steps that set another temperature and go on. */
const SETS = { nozzle: setting('nozzle'), bed: setting('bed'), chamber: setting('chamber') } as const;

/** The same command, waiting; null where its temperature cannot be repeated somewhere else. */
function rowFor(view: View, { command }: Step, kind: HeaterKind): string | null {
  const { node, words, record } = command;
  if (!record || node.named || node.section) return null;
  const parts: string[] = [];
  for (const word of words) {
    const value = word.section ? null : repeatable(view, word);
    const quantity = findRecordWord(record, word.key)?.quantity;
    if (value === null || !(quantity === `${kind} target` || quantity === 'tool')) return null;
    parts.push(` ${word.key}${value}`);
  }
  return hasWordFor(command, `${kind} target`) ? WAIT[kind] + parts.join('') : null;
}

/** The first wait for the nozzle behind a step: the slow heaters are waited for before it. */
const nozzleWait = (view: View, { command }: Step): Step | null => NOZZLE_WAITS(view).below(command.line.index) ?? null;

const NOZZLE_WAITS = stepsThat(
  (step) => ownLine(step.command) !== null && heatsOf(step).some((e) => e.wait && e.heater === 'nozzle'),
);

/** Whether the wait does nothing but wait, and gives no other rule anything to tell. */
function changesNothingElse(view: View, set: Step, kind: HeaterKind, place: Step | null): boolean {
  const { machine, trace } = view;
  const state: State = place?.before ?? trace.end;
  const heater = heaterOf(state, kind);
  const target = heater?.target;
  // One object: the same number in every job.
  if (!target || target !== heaterOf(set.after, kind)?.target || !set.certain) return false;
  // Where some jobs end earlier, they would still not have waited.
  if (STOPS_SOMETIMES(view).items.length > 0) return false;
  const max = machine?.heat[kind]?.max;
  if (target.hi > (max ?? Number.POSITIVE_INFINITY) || target.lo < 0) return false;
  if (kind === 'chamber') return !!machine?.heat.chamber;
  if (kind === 'bed') return atLeast(heaterOf(state, 'nozzle')?.target ?? null, dripsFrom(view)) === 'none';
  const later = place?.command.line.index ?? Number.POSITIVE_INFINITY;
  return target.lo >= dripsFrom(view) && FANS_ON(view).items.length === 0 && !HOMES(view).below(later - 1);
}

const STOPS_SOMETIMES = commandsThat(
  ({ node, record }) => node.section !== null && Boolean(record?.effects.some((e) => e.do === 'stop')),
);
const FANS_ON = stepsThat(
  ({ command, after }) => after.fan !== false && Boolean(command.record?.effects.some((e) => e.do === 'fan')),
);
const HOMES = stepsThat(({ move }) => move?.kind === 'home');

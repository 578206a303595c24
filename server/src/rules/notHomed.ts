import { type BoundCommand, shownCode } from '../commands/bind.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { linesAbove } from './edits.ts';
import { does, jobFollows, tellLeft } from './handOver.ts';
import { inPieces } from './inPieces.ts';
import { either, inJobs, type Jobs, not } from './jobs.ts';
import type { Report, Rule, View } from './rule.ts';
import { takenOut } from './takenOut.ts';

const AXES = ['x', 'y', 'z'] as const;
type Axis = (typeof AXES)[number];

/** A move along an axis whose place is not known, or a sequence that hands over with such an axis. */
export const notHomed: Rule = inPieces({
  id: 'not-homed',
  severity: 'error',
  title: 'A move before homing',
  scope: 'whole',
  *check(view, report) {
    const pace = new Pace();
    const told = new Set<string>();
    const { steps, end } = view.trace;
    const homes = steps.some((s) => s.move?.kind === 'home');
    let released: string | null = null;
    for (const step of steps) {
      if (pace.due()) yield;
      const { move, before } = step;
      if (step.command.record?.effects.some((e) => e.do === 'motors' && !e.on)) released = shownCode(step.command);
      if (!move || move.kind === 'home') continue;
      for (const axis of AXES) {
        if (!move.moves[axis] || before.homed[axis] === true || told.has(axis)) continue;
        const found = unhomedMove(view, step, axis, released, homes);
        if (found.severity !== 'info') told.add(axis);
        report(found);
      }
    }
    const last = view.commands[view.commands.length - 1];
    if (view.role !== 'start') goesOn(view, told, report);
    else if (last) for (const found of handsOver(end, last, told, released)) report(found);
  },
  once: {
    of: 'moves',
    note({ move, before }, _, told) {
      if (!move || move.kind === 'home') return;
      // Of a lift it says each time that it should be short.
      for (const axis of AXES)
        if (move.moves[axis] && before.homed[axis] === false && (axis !== 'z' || before.relative === false))
          told.add(axis);
    },
    isQuiet: ({ homed }, _, told) => AXES.every((axis) => homed[axis] === true || told.has(axis)),
  },
  blind(view) {
    const { x, y, z } = view.trace.end.homed;
    if (isWithinJob(view) && (x === null || y === null || z === null))
      return 'whether all axes are homed at the end is not known';
    return notFollowed(view);
  },
  fix(view, { span, severity, about }) {
    const { commands, role, trace } = view;
    if (about === RELEASED) {
      const out = takenOut(view, span.start);
      return out ? [{ title: 'Take this line out', edits: [out], safe: false, preferred: true }] : [];
    }
    const released = trace.steps.some((s) => does(s, 'motors') && s.after.motors === false);
    // Homing within a job may drive the nozzle into the part.
    if (severity === 'info' || released || (role !== 'start' && role !== 'program')) return [];
    // What a start never homes it homes best before it heats.
    const first = about === 'end' ? commands.find(({ record }) => record?.family !== 'modes') : undefined;
    const at = first?.node.span.start ?? span.start;
    return [{ title: 'Add G28 above', edits: [linesAbove(view, at, ['G28'])], safe: false, preferred: true }];
  },
});

function unhomedMove({ role }: View, step: Step, axis: Axis, released: string | null, homes: boolean): Report {
  const { before, after } = step;
  const letter = axis.toUpperCase();
  const place = {
    span: step.command.words.find((w) => w.key === letter)?.span ?? step.command.node.codeSpan,
    about: letter,
    step,
    certain: before.homed[axis] === false,
  };
  const delta = step.move?.moves[axis] && before.relative === true ? rise(step, axis) : null;
  if (axis === 'z' && delta !== null && delta > 0 && !released) {
    return {
      ...place,
      severity: 'info',
      message:
        'Z is lifted before it is homed. That is common practice, but how far it can rise from where it stands is not known: keep the lift short.',
    };
  }
  if (released) {
    return {
      ...place,
      message: `${letter} moves after the motors were switched off (${released}), so it may stand elsewhere by now, and where it will stop is not known. ${role === 'end' ? `Make all moves before ${released}.` : `Let the motors hold: leave ${released} out.`}`,
    };
  }
  const known = before.at[axis] && after.at[axis] && before.homed[axis] === null;
  return {
    ...place,
    severity: known ? 'info' : 'error',
    message: `${letter} moves before it is homed, so where it will stop is not known. Home it first: G28${homes ? ', above this line' : ''}.`,
  };
}

const RELEASED = 'released';

/** Whether the job goes on behind a text that began homed. */
const isWithinJob = (view: View): boolean => jobFollows(view) && view.role !== 'start';

/** A sequence within the job that ends with motors released: the job goes on from where it believes to stand. */
function goesOn(view: View, told: ReadonlySet<string>, report: (finding: Report) => void): void {
  if (!isWithinJob(view)) return;
  const open = AXES.filter((axis) => !told.has(axis));
  const unhomed = (state: State): Jobs => open.map((axis) => not(inJobs(state.homed[axis]))).reduce(either, 'none');
  tellLeft(
    view,
    {
      sets: (step) =>
        does(step, 'motors') && open.some((axis) => step.before.homed[axis] !== false && !step.after.homed[axis]),
      leaves: ({ after }) => unhomed(after),
      end: unhomed(view.trace.end),
      say: ({ command, after }) => ({
        about: RELEASED,
        message: `${shownCode(command)} releases the motors of ${namesOf(open, after)}, and the ${view.role} sequence ends without homing again: the job goes on from a place that is not known, beside the part or into it. Let the motors hold while the job waits: leave ${shownCode(command)} out.`,
      }),
    },
    report,
  );
}

const namesOf = (axes: readonly Axis[], { homed }: State): string =>
  axes
    .filter((axis) => homed[axis] === false)
    .map((axis) => axis.toUpperCase())
    .join(', ');

/** How far a literal step in relative mode goes. */
function rise(step: Step, axis: Axis): number | null {
  const value = step.command.words.find((w) => w.key === axis.toUpperCase())?.value;
  return value?.type === 'number' ? value.number : null;
}

/** A start sequence must hand over homed: the job's first move is an absolute one. */
function handsOver(end: State, last: BoundCommand, told: ReadonlySet<string>, released: string | null): Report[] {
  const open = AXES.filter((axis) => end.homed[axis] !== true && !told.has(axis));
  if (open.length === 0) return [];
  const names = open.map((axis) => axis.toUpperCase()).join(', ');
  return [
    {
      span: last.node.span,
      about: 'end',
      certain: open.every((axis) => end.homed[axis] === false),
      message: released
        ? `The start sequence ends with the motors of ${names} switched off, and the job moves right away from a place that is not known. Leave ${released} to the end sequence.`
        : `The start sequence ends without having homed ${names}, and the job moves right away. Home them: G28.`,
    },
  ];
}

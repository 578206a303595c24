import type { BoundCommand } from '../commands/bind.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { notFollowed } from './blind.ts';
import { linesAbove } from './edits.ts';
import { does } from './handOver.ts';
import type { Report, Rule } from './rule.ts';

const AXES = ['x', 'y', 'z'] as const;
type Axis = (typeof AXES)[number];

/** A move along an axis whose place is not known, or a start sequence that hands over unhomed. */
export const notHomed: Rule = {
  id: 'not-homed',
  severity: 'error',
  title: 'A move before homing',
  why: 'Before an axis is homed the controller does not know where it stands: a move can run into the end of the axis, the bed or a clip, with the motor’s full force. Home first (G28, or named axes: G28 X Y). The same holds once the motors are switched off. A short lift in relative mode before homing is common practice, and is only noted.',
  bad: { role: 'start', text: 'G21\nG90\nG1 X10 F3000\nG28\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG1 X10 F3000\n' },
  check(view, report) {
    const told = new Set<string>();
    const { steps, end } = view.trace;
    const homes = steps.some((s) => s.move?.kind === 'home');
    let released = false;
    for (const step of steps) {
      const { move, before } = step;
      if (step.command.record?.effects.some((e) => e.do === 'motors' && !e.on)) released = true;
      if (!move || move.kind === 'home') continue;
      for (const axis of AXES) {
        if (!move.moves[axis] || before.homed[axis] === true || told.has(axis)) continue;
        const found = unhomedMove(step, axis, released, homes);
        if (found.severity !== 'info') told.add(axis);
        report(found);
      }
    }
    const last = view.commands[view.commands.length - 1];
    if (view.role === 'start' && last) for (const found of handsOver(end, last, told, released)) report(found);
  },
  blind: notFollowed,
  fix(view, { span, severity, about }) {
    const { commands, role, trace } = view;
    const released = trace.steps.some((s) => does(s, 'motors') && s.after.motors === false);
    // Homing within a job may drive the nozzle into the part.
    if (severity === 'info' || released || (role !== 'start' && role !== 'program')) return [];
    // What a start never homes it homes best before it heats.
    const first = about === 'end' ? commands.find(({ record }) => record?.family !== 'modes') : undefined;
    const at = first?.node.span.start ?? span.start;
    return [{ title: 'Add G28 above', edits: [linesAbove(view, at, ['G28'])], safe: false, preferred: true }];
  },
};

function unhomedMove(step: Step, axis: Axis, released: boolean, homes: boolean): Report {
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
      message: `${letter} moves after the motors were switched off (M84), so it may stand elsewhere by now, and where it will stop is not known. Make all moves before M84.`,
    };
  }
  const known = before.at[axis] && after.at[axis] && before.homed[axis] === null;
  return {
    ...place,
    severity: known ? 'info' : 'error',
    message: `${letter} moves before it is homed, so where it will stop is not known. Home it first: G28${homes ? ', above this line' : ''}.`,
  };
}

/** How far a literal step in relative mode goes. */
function rise(step: Step, axis: Axis): number | null {
  const value = step.command.words.find((w) => w.key === axis.toUpperCase())?.value;
  return value?.type === 'number' ? value.number : null;
}

/** A start sequence must hand over homed: the job's first move is an absolute one. */
function handsOver(end: State, last: BoundCommand, told: ReadonlySet<string>, released: boolean): Report[] {
  const open = AXES.filter((axis) => end.homed[axis] !== true && !told.has(axis));
  if (open.length === 0) return [];
  const names = open.map((axis) => axis.toUpperCase()).join(', ');
  return [
    {
      span: last.node.span,
      about: 'end',
      certain: open.every((axis) => end.homed[axis] === false),
      message: released
        ? `The start sequence ends with the motors of ${names} switched off, and the job moves right away from a place that is not known. Leave M84 to the end sequence.`
        : `The start sequence ends without having homed ${names}, and the job moves right away. Home them: G28.`,
    },
  ];
}

import type { Rule } from './rule.ts';

const AXES = ['x', 'y', 'z'] as const;

/** A move along an axis whose place is not known yet. */
export const notHomed: Rule = {
  id: 'not-homed',
  severity: 'error',
  title: 'A move before homing',
  why: 'Before an axis is homed the controller does not know where it stands: a move can run into the end of the axis, the bed or a clip, with the motor’s full force. Home first (G28, or named axes: G28 X Y). A short lift in relative mode before homing is common practice, and is only noted.',
  bad: { role: 'start', text: 'G21\nG90\nG1 X10 F3000\nG28\n' },
  good: { role: 'start', text: 'G21\nG90\nG28\nG1 X10 F3000\n' },
  check(view, report) {
    const told = new Set<string>();
    for (const step of view.trace.steps) {
      const { move, before } = step;
      if (!move || move.kind === 'home') continue;
      for (const axis of AXES) {
        if (!move.moves[axis] || before.homed[axis] === true || told.has(axis)) continue;
        const letter = axis.toUpperCase();
        const word = step.command.words.find((w) => w.key === letter);
        const at = before.at[axis];
        const to = step.after.at[axis];
        const isLift =
          axis === 'z' && before.relative === true && word?.value?.type === 'number' && word.value.number > 0;
        if (!isLift) told.add(axis);
        report({
          span: word?.span ?? step.command.node.codeSpan,
          step,
          certain: before.homed[axis] === false,
          severity: isLift || (at && to && before.homed[axis] === null) ? 'info' : 'error',
          message: isLift
            ? `Z is lifted before it is homed. That is common practice, but how far it can rise from where it stands is not known: keep the lift short.`
            : `${letter} moves before it is homed, so where it will stop is not known. Home it first: G28${view.trace.steps.some((s) => s.move?.kind === 'home') ? ', above this line' : ''}.`,
        });
      }
    }
  },
};

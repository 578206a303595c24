import { wordFor } from '../commands/wordFor.ts';
import type { Machine } from '../machine/machine.ts';
import { type Bounds, isExact, multiply, scale } from '../placeholders/bounds.ts';
import type { Move } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { noMachine, unknownIn, unstated } from './blind.ts';
import { stepsOf } from './byLine.ts';
import { commandAt, withValue, wordOf } from './edits.ts';
import { both, isAbove, type Jobs } from './jobs.ts';
import type { Rule, Unstated } from './rule.ts';
import { num, onMachine, wordSpan } from './say.ts';
import { wordsOf } from './words.ts';

/** So much slower than written is worth telling; less is rounding. */
const SHARE = 0.95;

/** An F beyond what an axis can do. */
export const feedTooFast: Rule = {
  id: 'feed-too-fast',
  severity: 'hint',
  title: 'Faster than the axis can go',
  scope: 'line',
  check(view, report) {
    const { machine } = view;
    // In a finished job the lines are a program's own, thousands of them, and the controller sees to it.
    if (!machine || view.role === 'program') return;
    const { x, y, z, e } = machine.speed;
    if (x === null && y === null && z === null && e === null) return;
    for (const step of view.trace.steps) {
      const { move, after, before } = step;
      // G0 goes as fast as the axes can.
      if (!move || move.rapid || move.kind === 'home' || before.inverseFeed !== false) continue;
      const wanted = multiply(after.feed, before.speedFactor);
      if (!wanted || wanted.hi <= 60 * slowestTop(machine, move)) continue;
      const found = tooFast(machine, step, move, wanted);
      if (!found || found.happens === 'none') continue;
      const { axis, top, happens } = found;
      const name = axis.toUpperCase();
      report({
        span: wordSpan(step, 'feed', 'place z', 'filament', 'place x', 'place y'),
        step,
        certain: happens === 'all',
        message: `F${num(wanted.hi)} is ${num(wanted.hi / 60)} mm/s, and ${name} reaches ${num(top)} mm/s${onMachine(machine)}: the move is slowed down, or the motor skips. F${num(top * 60)} is the most for ${name}.`,
      });
    }
  },
  blind: (view) =>
    noMachine(view) ??
    noSpeed(view.machine) ??
    (view.role === 'program'
      ? null
      : unknownIn(
          view,
          ({ move, before, after, words }) =>
            move !== null &&
            move.kind !== 'home' &&
            !move.rapid &&
            isLimited(view.machine, move, words) &&
            (before.inverseFeed === null || !after.feed || !before.speedFactor || isOpen(move)),
          'how fast a move goes, or which way, is not known',
        )),
  // The speed stays in force for the lines that follow, so a person looks first.
  fix(view, finding) {
    const word = wordOf(view, finding);
    const command = commandAt(view, finding.span.start);
    const step = command ? stepsOf(view, command)[0] : undefined;
    const wanted = step && multiply(step.after.feed, step.before.speedFactor);
    const found = view.machine && step?.move && wanted ? tooFast(view.machine, step, step.move, wanted) : null;
    if (
      !found ||
      !step ||
      step.before.inches === true ||
      !word ||
      word !== wordFor(step.command, 'feed') ||
      word.value?.type !== 'number'
    )
      return [];
    const most = num(Math.floor(60 * found.top));
    return [{ title: `Write F${most}`, edits: [withValue(word, most)], safe: false, preferred: true }];
  },
};

const AXES = ['x', 'y', 'z'] as const;

/** Whether a move of several axes begins or ends somewhere unknown: then no axis' share of the speed is known. */
const isOpen = ({ moves, from, to }: Move): boolean =>
  AXES.filter((axis) => moves[axis]).length > 1 && AXES.some((axis) => moves[axis] && !(from[axis] && to[axis]));

/** Why the rule is not asked: there is no speed to hold a move against. */
const noSpeed = (machine: Machine | null): Unstated | null =>
  machine && (['x', 'y', 'z', 'e'] as const).every((axis) => machine.speed[axis] === null)
    ? unstated('speed', 'the machine file states no top speeds (speed)')
    : null;

/** Whether the machine file states a top speed for an axis that the move may have: E's counts where no other has a word. */
const isLimited = (machine: Machine | null, move: Move, words: Step['words']): boolean =>
  machine !== null &&
  (Number.isFinite(slowestTop(machine, move)) ||
    (machine.speed.e !== null && !words.some(({ key }) => 'XYZ'.includes(key))));

/** Top speed of the slowest axis that moves, mm/s: no share of a speed below it is too fast for any. */
function slowestTop({ speed }: Machine, { moves }: Move): number {
  let slowest = Number.POSITIVE_INFINITY;
  if (moves.x && speed.x !== null) slowest = Math.min(slowest, speed.x);
  if (moves.y && speed.y !== null) slowest = Math.min(slowest, speed.y);
  if (moves.z && speed.z !== null) slowest = Math.min(slowest, speed.z);
  if (!moves.x && !moves.y && !moves.z && speed.e !== null) slowest = speed.e;
  return slowest;
}

interface TooFast {
  readonly axis: string;
  /** mm/s */
  readonly top: number;
  readonly happens: Jobs;
}

/**
 * Whether an axis would have to go faster than it can. Where Z goes along with a way sideways, or filament with a move,
 * the others take their time and nothing is wrong.
 */
function tooFast({ speed }: Machine, step: Step, move: Move, wanted: Bounds): TooFast | null {
  const { moves, from, to } = move;
  const moved = AXES.filter((axis) => moves[axis]);
  const alone = (axis: (typeof AXES)[number] | 'e', share = 1): TooFast | null => {
    const top = speed[axis];
    return top === null ? null : { axis, top, happens: isAbove(scale(wanted, share), (60 * top) / SHARE) };
  };
  const [only] = moved;
  if (isOpen(move)) return null;
  // With an axis that stands there already in this job, it is the axis' speed that was meant.
  if (!only) return wordsOf(step).some(({ key }) => 'XYZ'.includes(key)) ? null : alone('e');
  if (moved.length === 1) return alone(only);
  const ways = moved.map((axis) => ({
    axis,
    way: isExact(from[axis]) && isExact(to[axis]) ? Math.abs(to[axis].lo - from[axis].lo) : null,
  }));
  if (ways.some(({ axis, way }) => axis === 'z' && way) && ways.some(({ axis, way }) => axis !== 'z' && way))
    return null;
  const curved = move.kind !== 'line';
  // On a climbing arc Z takes its time as well.
  if (curved && ways.some(({ axis, way }) => axis === 'z' && way)) return null;
  const exact = !curved && ways.every(({ way }) => way !== null);
  const path = Math.hypot(...ways.map(({ way }) => way ?? 0));
  const found = ways.flatMap(({ axis, way }) =>
    curved && axis === 'z' ? [] : (alone(axis, exact && path > 0 ? (way ?? 0) / path : 1) ?? []),
  );
  const worst = found.sort((a, b) => RANK[a.happens] - RANK[b.happens])[0];
  if (!worst) return null;
  return exact || (curved && !moves.z) ? worst : { ...worst, happens: both(worst.happens, 'some') };
}

const RANK: Record<Jobs, number> = { all: 0, some: 1, none: 2 };

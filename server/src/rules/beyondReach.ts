import { shownCode } from '../commands/bind.ts';
import { hull, placeOutside } from '../geometry/geometry.ts';
import { isConvex } from '../geometry/polygon.ts';
import type { Area, Machine } from '../machine/machine.ts';
import { isExact, type Known } from '../placeholders/bounds.ts';
import type { Move } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { Role } from '../syntax/role.ts';
import { Pace } from '../text/pieces.ts';
import { noMachine, notPlaced, startsSomewhere, unstated } from './blind.ts';
import { inPieces } from './inPieces.ts';
import { areaExcess, type Excess, endOf, HAIR } from './place.ts';
import type { Report, Rule } from './rule.ts';
import { adviceIn, FURTHER_IN, num, onMachine, onTheMachine, range, wordSpan } from './say.ts';

/** A move past where the nozzle can go. */
export const beyondReach: Rule = inPieces({
  id: 'beyond-reach',
  severity: 'error',
  title: 'A move past where the nozzle can go',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const { machine } = view;
    const area = machine?.reach ?? machine?.bed;
    if (!machine || !area) return;
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      if (!step.move || step.move.kind === 'home' || isWithin(step.move, area, machine)) continue;
      const where = { role: view.role, machine, area };
      for (const found of [...beyondArea(step, step.move, where), ...beyondHeight(step, step.move, where)])
        report(found);
    }
  },
  ofMove: {
    beyond: 'places',
    says(move, { machine }) {
      const area = machine?.reach ?? machine?.bed;
      if (!machine || !area || isWithin(move, area, machine)) return 0;
      const ends = (axis: 'x' | 'y' | 'z', low: number | null, high: number | null): number =>
        pastEnds(move, axis, low, high).filter((past) => past > HAIR).length;
      const up = ends('z', machine.reach?.bottom ?? null, machine.reach?.top ?? null);
      if (area.shape === 'rectangle') return up + ends('x', area.left, area.right) + ends('y', area.front, area.back);
      const excess = movesFlat(move) ? pathExcess(area, false, move) : null;
      return up + (excess && excess.most > HAIR ? 1 : 0);
    },
  },
  blind: (view) =>
    noMachine(view) ??
    (view.machine?.reach || view.machine?.bed
      ? (startsSomewhere(view, view.machine.reach ?? view.machine.bed) ?? notPlaced(view))
      : unstated('bed', 'the machine file states neither bed nor reach')),
});

/** What a move is held against. */
interface Where {
  readonly role: Role;
  readonly machine: Machine;
  readonly area: Area;
}

/** Whether the whole path is within a rectangular reach: true of nearly every move, and told at once. */
function isWithin({ extent }: Move, area: Area, { reach }: Machine): boolean {
  if (area.shape !== 'rectangle') return false;
  const { x, y, z } = extent;
  if (!x || !y || !z) return false;
  const flat = x.lo >= area.left && x.hi <= area.right && y.lo >= area.front && y.hi <= area.back;
  return flat && z.lo >= (reach?.bottom ?? z.lo) && z.hi <= (reach?.top ?? z.hi);
}

/** Sideways: each side of a rectangle on its own, other shapes as a whole. */
function beyondArea(step: Step, move: Move, where: Where): Report[] {
  const { area, machine } = where;
  const limit = machine.reach ? 'reach' : 'bed';
  if (area.shape === 'rectangle') {
    const { left, right, front, back } = hull(area);
    return [
      ...beyondAxis(
        step,
        move,
        'x',
        { at: left, name: `the left end of the ${limit}` },
        { at: right, name: `the right end of the ${limit}` },
        where,
      ),
      ...beyondAxis(
        step,
        move,
        'y',
        { at: front, name: `the front of the ${limit}` },
        { at: back, name: `the back of the ${limit}` },
        where,
      ),
    ];
  }
  if (!movesFlat(move)) return [];
  const isGoTo = step.command.record?.effects.some((effect) => effect.do === 'move-to') ?? false;
  const excess = pathExcess(area, isGoTo, move);
  if (!excess || excess.most <= HAIR) return [];
  return [
    {
      span: wordSpan(step, 'place x', 'place y'),
      step,
      certain: excess.least > HAIR,
      message: `${excess.where}${onTheMachine(step, ['x', 'y'])} is ${num(excess.most)} mm past the ${limit}’s ${excess.edge}${onMachine(machine)}. ${correct(step, adviceIn(where.role, `Keep the move within the ${limit}.`, FURTHER_IN))}`,
    },
  ];
}

/**
 * Of a straight move that begins outside only the end counts: the move that went out has told already. Between two
 * places inside, a straight way can only leave an outline with hollows. A command that goes to a place goes there by a
 * way of its own.
 */
function pathExcess(area: Area, isGoTo: boolean, move: Move): Excess | null {
  if (move.kind !== 'line') return areaExcess(area, move);
  if (isGoTo) return areaExcess(area, endOf(move));
  const { from } = move;
  const hollow = area.shape === 'polygon' && !isConvex(area.points);
  const out = isExact(from.x) && isExact(from.y) && placeOutside(area, from.x.lo, from.y.lo).over > HAIR;
  return areaExcess(area, hollow && !out ? move : endOf(move));
}

function beyondHeight(step: Step, move: Move, where: Where): Report[] {
  const { bottom, top } = where.machine.reach ?? { bottom: null, top: null };
  return beyondAxis(
    step,
    move,
    'z',
    { at: bottom, name: 'the bottom of the reach' },
    { at: top, name: 'the top of the reach' },
    where,
  );
}

/** Whether it goes sideways, as an arc always does. */
const movesFlat = ({ moves, kind }: Move): boolean => moves.x || moves.y || kind === 'arc';

/** The stretch of an axis that a move is judged by: of a straight one its end, since where it begins the move before it has told. */
const spanOf = (move: Move, axis: 'x' | 'y' | 'z'): Known => (move.kind === 'line' ? move.to[axis] : move.extent[axis]);

/** How far a move goes past the low and the high end of an axis, mm; less than 0: it stays within, or there is no such end. */
function pastEnds(
  move: Move,
  axis: 'x' | 'y' | 'z',
  low: number | null,
  high: number | null,
): readonly [low: number, high: number] {
  const span = spanOf(move, axis);
  // An arc bulges along axes that it has no word for.
  const moved = move.moves[axis] || (move.kind === 'arc' && axis !== 'z');
  const none = Number.NEGATIVE_INFINITY;
  if (!span || !moved) return [none, none];
  return [low === null ? none : low - span.lo, high === null ? none : span.hi - high];
}

interface End {
  readonly at: number | null;
  readonly name: string;
}

function beyondAxis(step: Step, move: Move, axis: 'x' | 'y' | 'z', low: End, high: End, where: Where): Report[] {
  const to = move.to[axis];
  const span = spanOf(move, axis);
  const [pastLow, pastHigh] = pastEnds(move, axis, low.at, high.at);
  const letter = axis.toUpperCase();
  const found: Report[] = [];
  for (const end of [low, high]) {
    const past = end === low ? pastLow : pastHigh;
    if (!span || end.at === null || past <= HAIR) continue;
    const extreme = end === low ? span.lo : span.hi;
    const ends = to !== null && (end === low ? to.lo <= extreme : to.hi >= extreme);
    const least = to === null ? 0 : end === low ? end.at - to.hi : to.lo - end.at;
    const place = `${letter} ${ends ? range(to) : num(extreme)}${onTheMachine(step, [axis])}`;
    found.push({
      span: wordSpan(step, `place ${axis}`),
      about: end === low ? 'low' : 'high',
      step,
      // Of an arc the two axes of its plane are exact; the third is a straight climb.
      certain: (move.arc && axis !== THIRD[move.arc.plane] ? past : least) > HAIR,
      message: `${place}${ends ? '' : ', which the arc touches on its way,'} is ${num(past)} mm past ${end.name} (${num(end.at)})${onMachine(where.machine)}. ${correct(step, advice(where.role, axis, end.at, end === high))}`,
    });
  }
  return found;
}

const THIRD = { xy: 'z', zx: 'y', yz: 'x' } as const;

/** What to do: a command of the machine's own goes where its file says. */
const correct = (step: Step, otherwise: string): string =>
  step.command.node.named
    ? `That is where the machine file says that ${shownCode(step.command)} goes: correct it or the reach there.`
    : otherwise;

function advice(role: Role, axis: 'x' | 'y' | 'z', limit: number, high: boolean): string {
  if (axis === 'z' && !high) return `Below that the nozzle meets the bed. Stay at ${num(limit)} or above.`;
  const stay = `Stay at ${num(limit)} or ${high ? 'below' : 'above'}.`;
  return adviceIn(role, stay, axis === 'z' ? 'with a lower part' : FURTHER_IN);
}

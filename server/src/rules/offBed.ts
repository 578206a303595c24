import { aside } from '../geometry/aside.ts';
import type { Area, Machine } from '../machine/machine.ts';
import { isExact, type Known } from '../placeholders/bounds.ts';
import { beadWidth, filamentArea } from '../simulate/bead.ts';
import type { Move } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { Role } from '../syntax/role.ts';
import { Pace } from '../text/pieces.ts';
import { noMachine, notPlaced, unstated } from './blind.ts';
import { inPieces } from './inPieces.ts';
import { areaExcess, HAIR } from './place.ts';
import type { Report, Rule } from './rule.ts';
import { adviceIn, FURTHER_IN, num, onMachine, onTheMachine, range, wordSpan } from './say.ts';

/** Filament laid down outside the bed. */
export const offBed: Rule = inPieces({
  id: 'off-bed',
  severity: 'error',
  title: 'Extruding outside the bed',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const { machine } = view;
    if (!machine?.bed) return;
    // Before the first command that states the mode of E, no job tells whether E pushes: `blind` says so, once.
    let stated = view.trace.start.relativeE !== null;
    for (const step of view.trace.steps) {
      if (pace.due()) yield;
      const { move } = step;
      stated ||= step.before.relativeE !== null || step.after.relativeE !== null;
      if (move?.pushed === null && !stated) continue;
      // What a command of the machine's own does there is the machine file's affair (a bin beside the bed).
      // E in a mode that is not known may push: that stays open rather than untold.
      if (!move || move.kind === 'home' || step.command.node.named || (move.pushed && move.pushed.hi <= 0)) continue;
      if (isWellInside(move, machine.bed, machine)) continue;
      const isAside = aside(machine, 'push', move);
      if (isAside === 'all') continue;
      for (const found of beyondBed(view.role, step, move, machine.bed, machine))
        report(isAside === 'none' ? found : { ...found, certain: false });
    }
  },
  ofMove: {
    beyond: 'places',
    says(move, { machine }) {
      const bed = machine?.bed;
      if (!machine || !bed || !move.pushed || move.pushed.lo <= 0) return 0;
      if (aside(machine, 'push', move) === 'all') return 0;
      const half = halfBead(move, machine);
      if (bed.shape !== 'rectangle') return isPast(areaExcess(bed, move)?.most ?? 0, half) ? 1 : 0;
      return sidesOf(bed).filter((side) => isPast(pastSide(move.extent[side.axis], side), half)).length;
    },
  },
  blind(view) {
    const { machine } = view;
    // Where the whole of it lies on the bed, it does not matter whether a move extrudes.
    const unsure = view.trace.steps.filter(
      ({ move, command }) =>
        move?.pushed === null &&
        move.kind !== 'home' &&
        !command.node.named &&
        !(machine?.bed && isWellInside(move, machine.bed, machine)) &&
        aside(machine, 'push', move) !== 'all',
    ).length;
    const none = noMachine(view) ?? (view.machine?.bed ? null : unstated('bed', 'the machine file states no bed'));
    return (
      none ??
      (unsure > 0
        ? `whether ${unsure === 1 ? 'one move extrudes' : `${unsure} moves extrude`} is not known`
        : notPlaced(view))
    );
  },
});

/** Whether a whole bead of any width lies on a rectangular bed: true of nearly every line, and told at once. */
function isWellInside({ extent: { x, y } }: Move, bed: Area, machine: Machine): boolean {
  if (bed.shape !== 'rectangle' || !x || !y) return false;
  const half = widestBead(machine) / 2;
  return x.lo - half >= bed.left && x.hi + half <= bed.right && y.lo - half >= bed.front && y.hi + half <= bed.back;
}

function beyondBed(role: Role, step: Step, move: Move, bed: Area, machine: Machine): Report[] {
  const half = halfBead(move, machine);
  const pushes = move.pushed !== null && move.pushed.lo > 0;
  const stands = !move.moves.x && !move.moves.y;
  if (bed.shape !== 'rectangle') {
    const excess = areaExcess(bed, move);
    if (!excess || !isPast(excess.most, half)) return [];
    const where = `${excess.where}${onTheMachine(step, ['x', 'y'])}${excess.begins ? ', where this line begins,' : ''}`;
    const past = `${where} is ${say(excess.most, half)} past the bed’s ${excess.edge}${onMachine(machine)}`;
    return [
      {
        span: wordSpan(step, 'place x', 'place y', 'filament'),
        step,
        certain: pushes && excess.least + half > HAIR,
        ...judged(role, past, excess.most, stands),
      },
    ];
  }
  const found: Report[] = [];
  for (const side of sidesOf(bed)) {
    const { axis, limit, sign, name } = side;
    const place = move.extent[axis];
    const to = move.to[axis];
    if (!place || !to) continue;
    const past = pastSide(place, side);
    if (!isPast(past, half)) continue;
    const least = move.arc
      ? past
      : Math.max(sign < 0 ? limit - to.hi : to.lo - limit, exactStart(move, axis, limit, sign));
    const letter = axis.toUpperCase();
    const where = `${letter} ${extremeOf(step, move, axis, sign)} is ${say(past, half)} past ${name} (${num(limit)})${onMachine(machine)}`;
    found.push({
      span: wordSpan(step, `place ${axis}`, 'filament'),
      about: name,
      step,
      certain: pushes && least + half > HAIR,
      ...judged(role, where, past, stands),
    });
  }
  return found;
}

interface Side {
  readonly axis: 'x' | 'y';
  readonly limit: number;
  readonly sign: number;
  readonly name: string;
}

const sidesOf = ({ left, right, front, back }: Extract<Area, { shape: 'rectangle' }>): readonly Side[] => [
  { axis: 'x', limit: left, sign: -1, name: 'the left of the bed' },
  { axis: 'x', limit: right, sign: 1, name: 'the right of the bed' },
  { axis: 'y', limit: front, sign: -1, name: 'the front of the bed' },
  { axis: 'y', limit: back, sign: 1, name: 'the back of the bed' },
];

/** How far a stretch along an axis goes past a side, mm; less than 0: it stays within. */
const pastSide = (place: Known, { limit, sign }: Side): number =>
  place ? (sign < 0 ? limit - place.lo : place.hi - limit) : Number.NEGATIVE_INFINITY;

/** Whether a bead whose middle is that far past the edge lies on it or beyond. */
const isPast = (past: number, half: number): boolean => past + half > HAIR;

/** Pushed out while standing beside the bed it may go into a bin; where only the bead's edge is over, it still prints. */
function judged(role: Role, where: string, past: number, stands: boolean): Pick<Report, 'message'> & Partial<Report> {
  if (stands && past > HAIR)
    return {
      severity: 'info',
      message: `${where}, and filament is pushed out there while the nozzle stands still. That is right where the machine has a bin for it; otherwise do it over the bed.`,
    };
  if (past <= HAIR)
    return {
      severity: 'warning',
      message: `${where}. ${adviceIn(role, 'Keep the line that much further from the edge.', FURTHER_IN)}`,
    };
  return { message: `${where}, and this line extrudes there. ${adviceIn(role, 'Extrude on the bed.', FURTHER_IN)}` };
}

/** The outermost coordinate, with what it is where the line's own word does not give it. */
function extremeOf(step: Step, move: Move, axis: 'x' | 'y', sign: number): string {
  const [place, from, to] = [move.extent[axis], move.from[axis], move.to[axis]];
  if (!place || !to) return '';
  const there = onTheMachine(step, [axis]);
  if (!isExact(to) || (from && !isExact(from))) return `${range(place)}${there}`;
  const extreme = sign < 0 ? place.lo : place.hi;
  if (to.lo === extreme) return `${num(extreme)}${there}`;
  return `${num(extreme)}${there}, ${from?.lo === extreme ? 'where this line begins,' : 'which the arc touches on its way,'}`;
}

/** How far outside the move begins in every run. */
function exactStart(move: Move, axis: 'x' | 'y', limit: number, sign: number): number {
  const from = move.from[axis];
  if (!from) return Number.NEGATIVE_INFINITY;
  return sign < 0 ? limit - from.hi : from.lo - limit;
}

/** Half a bead is counted up to this many nozzle diameters; more plastic than that piles up. Common practice, no source. */
const FATTEST = 1.5;

/** The widest bead that is counted with, mm: a line that far inside the bed lies on it whole. */
export const widestBead = ({ nozzle }: Machine): number => 2 * Math.max(0.5, FATTEST) * nozzle.diameter;

const say = (past: number, half: number): string =>
  past > HAIR ? `${num(past)} mm` : `on the edge: half its bead (${num(half)} mm) lies ${num(past + half)} mm`;

/**
 * Half the width of the bead, mm: from the filament pushed per length and the height over the bed where both are
 * exact and the height is that of a layer, else half the nozzle's diameter.
 */
function halfBead(move: Move, machine: Machine): number {
  const nozzle = machine.nozzle.diameter;
  const z = move.to.z;
  if (
    !isExact(z) ||
    !isExact(move.length) ||
    !isExact(move.pushed) ||
    move.length.lo === 0 ||
    z.lo <= 0 ||
    z.lo > nozzle * 2
  )
    return nozzle / 2;
  const section = (move.pushed.lo * filamentArea(machine.filament.diameter)) / move.length.lo;
  return Math.min(Math.max(0, beadWidth(section, z.lo)) / 2, nozzle * FATTEST);
}

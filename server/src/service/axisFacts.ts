import { hull } from '../geometry/area.ts';
import { areasAround } from '../geometry/aside.ts';
import type { Axis } from '../machine/effect.ts';
import type { Area, Machine } from '../machine/machine.ts';
import { type Bounds, isExact, type Known, scale, subtract } from '../placeholders/bounds.ts';
import { INCH } from '../simulate/arc.ts';
import { machinePosition } from '../simulate/motion.ts';
import type { AxisE } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import type { Analysis } from './analyze.ts';
import { amount, figure, looksSame, plain } from './phrase.ts';
import { common, numberOf, over, type Ran } from './steps.ts';

/** One place that an axis must not pass: "the right edge of the bed (228)". */
interface Limit {
  readonly at: number;
  readonly side: 'low' | 'high';
  readonly name: string;
}

const EDGES = { x: ['left', 'right'], y: ['front', 'back'] } as const;

/** From where to where an axis goes, in machine coordinates, and what that means on this machine. One line or two. */
export function axisFacts(a: Analysis, ran: Ran, axis: Axis): string[] {
  const { steps } = ran;
  const letter = axis.toUpperCase();
  const before = over(steps, (s) => machinePosition(s.before)[axis]);
  const after = over(steps, (s) => machinePosition(s.after)[axis]);
  const homed = common(steps, (s) => s.after.homed[axis]);
  if (after && homed === false) {
    return [
      `${letter}: not known here, since ${letter} is not homed before this. Counted from the machine’s zero it goes to ${amount(after, 'mm')}${past(a.machine, axis, after)}.`,
    ];
  }
  if (!after) return [`${letter}: where it ends is not known here, since ${whyUnknown(a, ran, axis)}.`];
  const to = `${amount(after, 'mm')} (machine)${past(a.machine, axis, after)}`;
  const perhaps = homed === null ? ` Some jobs come here before ${letter} is homed.` : '';
  if (before && looksSame(before, after) && staysIn(steps, axis, before))
    return [`${letter}: stays at ${to}.${perhaps}`];
  if (!before) return [`${letter}: goes to ${to}; where it comes from is not known here.${perhaps}`];
  return [`${letter}: ${amount(before, 'mm')} → ${to}.${perhaps}`];
}

/** Whether an axis goes nowhere. Two places within the same bounds may be two places: in a list the next turn's, for one. */
const staysIn = (steps: readonly Step[], axis: Axis, at: Bounds): boolean =>
  isExact(at) || steps.every(({ move }) => move !== null && !move.moves[axis]);

/** What the number in an axis word means: the modes that it is read in, and this machine's limits on that axis. */
export function axisWordFacts(a: Analysis, ran: Ran, axis: Axis, word: Word): string[] {
  const { steps } = ran;
  const letter = axis.toUpperCase();
  const written = numberOf(a, ran, word);
  const inches = common(steps, (s) => s.before.inches) === true;
  const lines = axisFacts(a, ran, axis);
  if (!inMachine(a, ran)) {
    const by = scale(written, inches ? INCH : 1);
    const relative = common(steps, (s) => s.before.relative);
    if (relative) lines.push(`Relative mode (G91): ${letter} moves by ${amount(by, 'mm')} from where it is.`);
    if (relative === null)
      lines.push(
        'It is not stated before this whether positions are absolute or relative (G90 or G91): both are counted.',
      );
    const shift = over(steps, (s) => s.after.offset[axis]);
    if (shift && !(isExact(shift) && shift.lo === 0)) {
      const reads = over(steps, (s) => s.after.at[axis]);
      lines.push(
        `Origin moved by ${amount(shift, 'mm')} (G92 or a work offset): ${letter} reads ${amount(reads, 'mm')}.`,
      );
    }
  } else lines.push('G53 on this line: the number is in machine coordinates.');
  lines.push(
    ...asideFacts(a.machine, steps),
    ...unitFacts(steps, written),
    ...wayFacts(a.machine, steps, axis),
    ...limitFacts(a.machine, axis),
  );
  return lines;
}

/** The areas beside the print in which every step ends. */
function asideFacts(machine: Machine | null, steps: readonly Step[]): string[] {
  const [first, ...more] = steps.map((step) => areasAround(machine, machinePosition(step.after)));
  const all = (first ?? []).filter((name) => more.every((names) => names.includes(name)));
  return all.length > 0 ? [`That is within the ${all.map(plain).join(' and the ')}.`] : [];
}

/** Where an axis is after homing. */
export function homedAt(a: Analysis, { steps }: Ran, axis: Axis): string {
  if (!a.machine) return 'home, which is not known here: no machine is chosen';
  return `${amount(
    over(steps, (s) => machinePosition(s.after)[axis]),
    'mm',
  )} (machine)`;
}

/** G92: the place stays, the reading changes. '' where this axis is left as it is. */
export function originFact({ steps }: Ran, axis: AxisE): string {
  const [before, after] = [over(steps, (s) => s.before.at[axis]), over(steps, (s) => s.after.at[axis])];
  const given = steps.some(
    (s) => differ(s.before.at[axis], s.after.at[axis]) || s.before.offset[axis] !== s.after.offset[axis],
  );
  if (!given) return '';
  const was = looksSame(before, after) && isExact(after) ? 'as before it' : `before it: ${amount(before, 'mm')}`;
  const place = axis === 'e' ? null : over(steps, (s) => machinePosition(s.after)[axis]);
  const stays = axis === 'e' ? '' : ` The machine stays at ${amount(place, 'mm')}.`;
  return `${axis.toUpperCase()} reads ${amount(after, 'mm')} from here on (${was}).${stays}`;
}

/** Whether two numbers may differ in some job: exact ones by their values, others unless they are one. */
const differ = (a: Known, b: Known): boolean => a !== b && !(isExact(a) && isExact(b) && a.lo === b.lo);

/** Said where a length is not in stated millimetres. */
export function unitFacts(steps: readonly Step[], written: Known): string[] {
  const inches = common(steps, (s) => s.before.inches);
  if (inches) return [`In inches (G20): ${amount(written, 'in')} = ${amount(scale(written, INCH), 'mm')}.`];
  if (inches === null && steps.length > 0) return ['The unit is not stated before this (G20 or G21): mm is taken.'];
  return [];
}

/** How far an arc bulges beyond its ends. */
function wayFacts(machine: Machine | null, steps: readonly Step[], axis: Axis): string[] {
  const way = over(steps, (s) => (s.move?.kind === 'arc' ? s.move.extent[axis] : null));
  if (!way || isExact(way)) return [];
  return [`On its way the arc spans ${amount(way, 'mm')} along ${axis.toUpperCase()}${past(machine, axis, way)}.`];
}

function limitFacts(machine: Machine | null, axis: Axis): string[] {
  if (!machine) return [];
  const along = axis.toUpperCase();
  const spans: string[] = [];
  const of = (area: Area): Bounds => {
    const { left, right, front, back } = hull(area);
    return axis === 'x' ? { lo: left, hi: right } : { lo: front, hi: back };
  };
  if (axis !== 'z' && machine.bed) spans.push(`the bed spans ${amount(of(machine.bed), 'mm')}`);
  const reach = machine.reach;
  if (reach && axis !== 'z') spans.push(`the reach ${amount(of(reach), 'mm')}`);
  if (reach && axis === 'z' && (reach.top !== null || reach.bottom !== null)) {
    const height = { lo: reach.bottom ?? Number.NEGATIVE_INFINITY, hi: reach.top ?? Number.POSITIVE_INFINITY };
    spans.push(`the reach spans ${amount(height, 'mm')}`);
  }
  return spans.length > 0 ? [`Along ${along}, ${spans.join(', ')}.`] : [];
}

/** ", 3 mm past the right edge of the bed (228)" for the limits that a place is or may be past; '' where there is none. */
function past(machine: Machine | null, axis: Axis, at: Bounds): string {
  let told = '';
  for (const limit of limits(machine, axis)) {
    const beyond = limit.side === 'high' ? subtract(at, same(limit.at)) : subtract(same(limit.at), at);
    if (!beyond || beyond.hi <= 1e-6) continue;
    const sure = beyond.lo > 0 && beyond.hi - beyond.lo < 1e-6;
    told += `, ${sure ? '' : 'up to '}${figure(beyond.hi)} mm past ${limit.name} (${figure(limit.at)})`;
  }
  return told;
}

const same = (n: number): Bounds => ({ lo: n, hi: n });

function limits(machine: Machine | null, axis: Axis): Limit[] {
  if (!machine) return [];
  const { bed, reach } = machine;
  if (axis === 'z') {
    const ends: Limit[] = [];
    if (typeof reach?.bottom === 'number')
      ends.push({ at: reach.bottom, side: 'low', name: 'the bottom of the reach' });
    if (typeof reach?.top === 'number') ends.push({ at: reach.top, side: 'high', name: 'the top of the reach' });
    return ends;
  }
  const [low, high] = EDGES[axis];
  const edges = (area: Area | null, of: string): Limit[] => {
    if (!area) return [];
    const box = hull(area);
    return [
      { at: box[low], side: 'low', name: `the ${low} edge of ${of}` },
      { at: box[high], side: 'high', name: `the ${high} edge of ${of}` },
    ];
  };
  return [...edges(bed, 'the bed'), ...edges(reach, 'the reach')];
}

/** Why the place of an axis behind a command is open, as a half sentence. */
function whyUnknown(a: Analysis, ran: Ran, axis: Axis): string {
  const { steps, command } = ran;
  const letter = axis.toUpperCase();
  if (steps.length === 0) return 'this never runs';
  const word = command.words.find((w) => w.key === letter);
  if (word?.value && !numberOf(a, ran, word)) return `the value behind ${letter} is not known`;
  if (!a.machine && common(steps, (s) => s.after.homed[axis]) === true)
    return 'no machine is chosen and so its home is not known';
  if (common(steps, (s) => s.before.homed[axis]) === false) return `${letter} is not homed before this`;
  if (steps.some((s) => s.before.homed[axis] !== true)) return `${letter} may not be homed before this`;
  if (common(steps, (s) => s.before.relative) === null)
    return 'it is not stated before this whether positions are absolute or relative (G90 or G91)';
  return 'a command before this leaves the place open';
}

/** Whether G53 stands on the command's line. */
function inMachine(a: Analysis, { command }: Ran): boolean {
  const all = a.bound.on(command.line);
  return all.some((c) => c.record?.effects.some((effect) => effect.do === 'machine-coordinates'));
}

import { wordFor } from '../commands/wordFor.ts';
import { type Bounds, eachOf, isSame, subtract } from '../placeholders/bounds.ts';
import { spellerOf, tagWith } from '../placeholders/limited.ts';
import { machinePosition } from '../simulate/motion.ts';
import type { Move, State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import { unknownIn } from './blind.ts';
import { stepsOf } from './byLine.ts';
import { commandAt, linesAbove, linesBelow, withValue, wordOf } from './edits.ts';
import { atLeast, both, either, type Jobs, less, most, not } from './jobs.ts';
import { nameFor } from './lines.ts';
import type { Finding, Fix, Report, Rule, View } from './rule.ts';
import { num, onTheMachine, range, wordSpan } from './say.ts';
import { wordMeant } from './words.ts';

/** How long a wipe may be, mm. Common practice, no source. */
const WIPE = 10;

/** Sums of shifted origins are rounded; less than this is no height. mm. */
const ROUNDING = 1e-6;

/** A sideways move at the height of the part's top, or below it, before the nozzle has been lifted. */
export const dragOverPart: Rule = {
  id: 'drag-over-part',
  severity: 'error',
  title: 'The nozzle is dragged over the part',
  scope: 'line',
  check(view, report) {
    if (view.role === 'start' || view.role === 'program') return;
    const top = view.trace.start.at.z;
    if (!top) return;
    // The nozzle is on the part until a sideways move above it, or a collision that has been told, settles the matter.
    // What settles it in some jobs only leaves it open for the others.
    let onPart: Jobs = 'all';
    let pulledBack: Jobs = 'none';
    let lifted = false;
    for (const step of view.trace.steps) {
      lifted ||= wordMeant(step, 'place z') !== undefined;
      pulledBack = most(pulledBack, step, pullsBack(step));
      const { move } = step;
      if (!move || !(move.moves.x || move.moves.y || move.moves.z)) continue;
      for (const event of eventsOf(view, step, move, top, pulledBack, lifted)) {
        if (event.report) report({ ...event.report, step, certain: event.happens === 'all' && onPart === 'all' });
        if (event.settles) onPart = less(onPart, step, event.happens);
        if (onPart === 'none') return;
      }
    }
  },
  blind: (view) =>
    view.role === 'start' || view.role === 'program'
      ? null
      : unknownIn(
          view,
          ({ move }) => move !== null && Object.values(move.moves).includes(true) && (!move.from.z || !move.to.z),
          'how high the nozzle is during a move is not known',
        ),
  fix: mend,
};

/** Something that a move does to the part, or its being clear of it (no report). */
interface Event {
  /** In how many of the jobs that run this step with the nozzle still on the part. */
  readonly happens: Jobs;
  /** After it there is nothing more to tell. */
  readonly settles: boolean;
  readonly report?: Report;
}

/** Where the height is not known, a move may lift the nozzle or hit the part. */
const UNKNOWN: Event = { happens: 'some', settles: true };

/** What a step of the machine may do to a part whose top is here, in order; nothing that happens in no job. */
function eventsOf(view: View, step: Step, move: Move, top: Bounds, pulledBack: Jobs, lifted: boolean): Event[] {
  const z = machinePosition(step.before).z;
  if (!z) return [UNKNOWN];
  const events =
    move.kind === 'home' && move.moves.z
      ? [homing(view, step, top)]
      : [driven(view, step, move, top), ...sideways(view, step, move, z, top, pulledBack, lifted)];
  return events.filter((event) => event !== null && event.happens !== 'none') as Event[];
}

const partOf = ({ role }: View): string => (role === 'end' ? 'part' : 'layer');

/** "Lift it first" with how far: by the names that the text has, else in numbers where the part's top is known. */
function lift(view: View, how: string, top: Bounds): string {
  const height = heightTag(view) ?? (top.lo === top.hi ? liftedHeight(view, top) : null);
  return height === null ? `${how}.` : `${how}: G1 Z${height}.`;
}

/** A height above the part; null where there is no room. */
function liftedHeight({ machine }: View, top: Bounds): string | null {
  const height = Math.min(top.hi + 5, machine?.reach?.top ?? Number.POSITIVE_INFINITY);
  return height > top.hi ? num(height) : null;
}

function homing(view: View, step: Step, top: Bounds): Event {
  const home = view.machine?.home.z ?? null;
  if (home === null || home >= top.hi) return { happens: 'all', settles: true };
  return {
    // Homed above a low part, it is clear of it: settled as well.
    happens: home < top.lo ? 'all' : 'some',
    settles: true,
    report: {
      span: step.command.node.span,
      severity: 'warning',
      message: `Homing Z takes the nozzle down to Z ${num(home)}, below the ${partOf(view)}’s top (${range(top)}): the part is hit unless it stands clear of that place. Home X and Y only (G28 X Y).`,
    },
  };
}

function driven(view: View, step: Step, move: Move, top: Bounds): Event | null {
  const down = move.to.z;
  const above = down && subtract(down, top);
  if (!move.moves.z) return null;
  if (!down || !above) return UNKNOWN;
  return {
    happens: negative(above),
    settles: true,
    report: {
      span: wordSpan(step, 'place z', 'axis to home z'),
      about: 'down',
      message: `Z ${range(down)}${onTheMachine(step, ['z'])} is ${num(0 - above.lo)} mm below the ${partOf(view)}’s top (${range(top)}): the nozzle is driven into the part. ${lift(view, 'Lift it instead', top)}`,
    },
  };
}

function sideways(
  view: View,
  step: Step,
  move: Move,
  z: Bounds,
  top: Bounds,
  pulledBack: Jobs,
  /** Whether a Z has been given at all, perhaps one that finds no room to rise. */
  lifted: boolean,
): Event[] {
  if (!move.moves.x && !move.moves.y) return [];
  // The very height that the sequence began with is the part's top in every job.
  const untouched = !lifted && isSame(step.before.at.z, top);
  const clear = untouched ? 'none' : clearOf(z, top);
  const highest = view.machine?.reach?.top ?? null;
  // Over a part as tall as the reach there is no room to lift: nothing that a sequence could do.
  const noRoom = untouched || highest === null ? 'none' : atLeast(z, highest);
  // One that lifts off along the way leaves the part at once.
  const leaves = move.moves.z ? rises(step.before, step.after) : 'none';
  const drags = !untouched && cappedAbove(z, top, highest) ? 'none' : not(either(clear, either(noRoom, leaves)));
  const wipes = both(pulledBack, short(move));
  const span = wordSpan(step, 'place x', 'axis to home x', 'place y', 'axis to home y');
  return [
    { happens: clear, settles: true },
    {
      happens: both(drags, wipes),
      settles: false,
      report: {
        span,
        about: 'wipe',
        severity: 'info',
        message:
          'The nozzle is wiped over the part’s top here, before it is lifted. A short wipe like this is common practice, and may leave a mark.',
      },
    },
    {
      happens: both(drags, not(wipes)),
      settles: true,
      report: {
        span,
        message: `The nozzle moves sideways while it is still down on the ${partOf(view)}${untouched ? '' : ` (Z ${num(z.hi)}, its top is at ${num(top.lo)})`}, and drags over it. ${lift(view, 'Lift it first', top)}`,
      },
    },
  ];
}

/** Where the lift that was meant can be told. Each sends the nozzle elsewhere, so a person looks first. */
function mend(view: View, finding: Finding): Fix[] {
  const command = commandAt(view, finding.span.start);
  const step = command ? stepsOf(view, command)[0] : undefined;
  if (!command || !step) return [];
  const fix = (title: string, ...edits: Fix['edits']): Fix => ({ title, edits, safe: false, preferred: true });
  const { relative } = step.before;
  const keys = command.words.map(({ key }) => key);
  const at = finding.span.start;
  const height = heightTag(view);
  if (step.move?.kind === 'home') {
    if (!height || relative === null || keys.length > 0) return [];
    const edits = [
      linesAbove(view, at, lifted(height, relative)),
      { span: command.node.codeSpan, text: `${command.code} X Y` },
    ];
    return [fix('Lift, and home X and Y only', ...edits)];
  }
  if (finding.about === 'down') {
    const word = wordOf(view, finding);
    const isHeight = word !== undefined && word === wordFor(command, 'place z');
    const rise = isHeight && word.value?.type === 'number' ? word.value.number : null;
    if (!word || relative !== false || rise === null || command.line.commands.length > 1) return [];
    const steps = rise > 0 && command.words.every((one) => one === word || one === wordFor(command, 'feed'));
    return [
      ...(steps
        ? [
            fix(
              `Lift by ${num(rise)} mm: wrap it in G91 and G90`,
              linesAbove(view, at, ['G91']),
              linesBelow(view, at, ['G90']),
            ),
          ]
        : []),
      ...(height
        ? [{ ...fix(`Lift above the ${partOf(view)}: Z${height}`, withValue(word, height)), preferred: !steps }]
        : []),
    ];
  }
  if (!height || relative === null) return [];
  const rows = lifted(height, relative);
  return [fix(`Lift first: ${rows.join(', ')}`, linesAbove(view, at, rows))];
}

/** Lines that lift the nozzle, and leave the mode as it was. */
const lifted = (height: string, relative: boolean): string[] => {
  const up = `G1 Z${height} F600`;
  return relative ? ['G90', up, 'G91'] : [up];
};

/** A height above the part as this text writes it; null where it has no names for that. */
function heightTag(view: View): string | null {
  const [top, reach] = [nameFor(view, `${partOf(view)}.top`), nameFor(view, 'reach.top')];
  if (top === null || reach === null) return null;
  const speller = spellerOf(view.vocabulary);
  const above = speller.binary('+', speller.name(top), speller.number(5));
  return tagWith(view.vocabulary, speller.call('min', [above, speller.name(reach)]));
}

/**
 * Whether a height is above the part's top in every job, or as high as the machine reaches: min(part.top + 5, reach.top),
 * which is one of these two.
 */
function cappedAbove(z: Bounds, top: Bounds, highest: number | null): boolean {
  if (highest === null) return false;
  return eachOf(z).every((one) => one.lo >= highest || clearOf(one, top) === 'all');
}

/** In how many jobs a height is above the part's top. */
function clearOf(z: Bounds, top: Bounds): Jobs {
  const room = subtract(z, top);
  if (!room || (room.lo <= ROUNDING && room.hi > ROUNDING)) return 'some';
  return room.lo > ROUNDING ? 'all' : 'none';
}

const negative = ({ lo, hi }: Bounds): Jobs => (hi < -ROUNDING ? 'all' : lo < -ROUNDING ? 'some' : 'none');

/** In how many jobs the nozzle goes up along a move. */
function rises(before: State, after: State): Jobs {
  const [from, to] = [machinePosition(before).z, machinePosition(after).z];
  const up = from && to && subtract(to, from);
  // What stays where it is does not rise; what may go up or down may.
  if (!up || (up.lo <= 0 && up.hi > 0)) return 'some';
  return up.lo > 0 ? 'all' : 'none';
}

/** Whether a move is short enough for a wipe. Homing is none: it goes on until a switch is met. */
function short({ kind, length }: Move): Jobs {
  if (kind === 'home') return 'none';
  if (!length) return 'some';
  if (length.lo > WIPE) return 'none';
  return length.hi <= WIPE ? 'all' : 'some';
}

function pullsBack({ command, move }: Step): Jobs {
  if (command.record?.effects.some((e) => e.do === 'retract')) return 'all';
  if (!move?.e || move.e.lo >= 0) return 'none';
  return move.e.hi < 0 ? 'all' : 'some';
}

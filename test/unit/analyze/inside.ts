import { type Facts, type Form, type Interval, NO_FACTS, rangeOf } from '../../../server/src/placeholders/affine.ts';
import { exact, type Known } from '../../../server/src/placeholders/bounds.ts';
import { type Id, idOfName } from '../../../server/src/placeholders/identity.ts';
import type { Job } from '../../../server/src/placeholders/vocabulary.ts';
import type { Heater, Move, PerAxis, State } from '../../../server/src/simulate/state.ts';
import type { Step, Totals } from '../../../server/src/simulate/trace.ts';

// Whether what one exact job gives lies inside what a run over all jobs said. Each function names the first thing that
// does not, or gives null.

type Found = string | null;

/** Rounding of square roots and of sums in another order. */
const slack = (n: number): number => 1e-9 * Math.max(1, Math.abs(n));

const AXES = ['x', 'y', 'z', 'e'] as const;

const ids = new Map<string, Id>();
const idOf = (name: string): Id => {
  const known = ids.get(name) ?? idOfName(name);
  ids.set(name, known);
  return known;
};

/** Every number that the job gives, as a range of its own. */
function rangesIn(job: Job): Facts['ranges'] {
  const ranges = new Map<Id, Interval>();
  for (const [name, value] of job) if (typeof value === 'number') ranges.set(idOf(name), exact(value));
  return ranges;
}

/** The checks for one job; what a number is as a sum over names is worked out with the names that the job gives. */
export function insideOf(job: Job): {
  readonly state: (all: State, one: State) => Found;
  readonly step: (all: Step, one: Step) => Found;
  /** `open`: the axes of which the run over all jobs did not know the place during some move. */
  readonly totals: (all: Totals, one: Totals, open: Move['moves']) => Found;
} {
  const facts: Facts = { ...NO_FACTS, ranges: rangesIn(job) };
  // A run hands most of its state on as it is, so the same numbers are met again at every step: each is looked at once.
  const sums = new Map<Form, Interval>();
  const inside = new Map<object, object>();

  function sumOf(form: Form): Interval {
    const known = sums.get(form);
    if (known) return known;
    const range = rangeOf(form, facts);
    sums.set(form, range);
    return range;
  }

  /** What `find` finds of two objects, which is nothing where the same two were found to be inside before. */
  function once<T extends object>(all: T, one: T, find: () => Found): Found {
    if (inside.get(all) === one) return null;
    const found = find();
    if (found === null) inside.set(all, one);
    return found;
  }

  function number(what: string, all: Known, one: Known): Found {
    if (all === null) return null;
    if (all.form === undefined && one && all.lo <= one.lo && all.hi >= one.hi) return null;
    const say = (k: Known): string => (k ? `[${k.lo}, ${k.hi}]` : 'unknown');
    if (!one || one.lo < all.lo - slack(all.lo) || one.hi > all.hi + slack(all.hi))
      return `${what} is ${say(one)}, not within ${say(all)}`;
    if (!all.form) return null;
    const by = sumOf(all.form);
    if (one.lo >= by.lo - slack(by.lo) && one.hi <= by.hi + slack(by.hi)) return null;
    return `${what} is ${say(one)}, which is not its sum over the names, ${say(by)}`;
  }

  const same = <T>(what: string, all: T | null, one: T | null): Found =>
    all === null || all === one ? null : `${what} is ${String(one)}, not ${String(all)}`;

  const first = (...found: readonly Found[]): Found => found.find((f) => f !== null) ?? null;

  const axes = (what: string, all: PerAxis<Known>, one: PerAxis<Known>): Found =>
    once(all, one, () => {
      for (const a of AXES) {
        const found = number(what, all[a], one[a]);
        if (found !== null) return `${a}: ${found}`;
      }
      return null;
    });

  const place = (what: string, all: Move['to'], one: Move['to']): Found =>
    number(what, all.x, one.x) ?? number(what, all.y, one.y) ?? number(what, all.z, one.z);

  const heater = (what: string, all: Heater, one: Heater): Found =>
    once(all, one, () => {
      const found =
        number('target', all.target, one.target) ??
        number('now', all.now, one.now) ??
        same('awaited', all.awaited, one.awaited);
      return found && `${what} ${found}`;
    });

  function workTable(all: State['workTable'], one: State['workTable']): Found {
    if (all.size === 0 && one.size === 0) return null;
    const zero = { x: { lo: 0, hi: 0 }, y: { lo: 0, hi: 0 }, z: { lo: 0, hi: 0 }, e: { lo: 0, hi: 0 } };
    const numbers = new Set([...all.keys(), ...one.keys()]);
    return first(...[...numbers].map((i) => axes(`work offset ${i}`, all.get(i) ?? zero, one.get(i) ?? zero)));
  }

  function nozzles(all: State['nozzles'], one: State['nozzles']): Found {
    for (const [i, n] of all.entries()) {
      const found = heater('nozzle', n, one[i] ?? n);
      if (found !== null) return `${found} of tool ${i}`;
    }
    return null;
  }

  const stateInside = (all: State, one: State): Found => once(all, one, () => partsInside(all, one));

  /** Each is looked at only where those before it are inside. */
  const partsInside = (all: State, one: State): Found =>
    axes('at', all.at, one.at) ??
    axes('offset', all.offset, one.offset) ??
    axes('work', all.work, one.work) ??
    workTable(all.workTable, one.workTable) ??
    same('homed.x', all.homed.x, one.homed.x) ??
    same('homed.y', all.homed.y, one.homed.y) ??
    same('homed.z', all.homed.z, one.homed.z) ??
    same('relative', all.relative, one.relative) ??
    same('relativeE', all.relativeE, one.relativeE) ??
    same('inches', all.inches, one.inches) ??
    number('unit', all.unit, one.unit) ??
    same('plane', all.plane, one.plane) ??
    same('motion', all.motion, one.motion) ??
    number('feed', all.feed, one.feed) ??
    same('inverseFeed', all.inverseFeed, one.inverseFeed) ??
    same('workOffset', all.workOffset, one.workOffset) ??
    nozzles(all.nozzles, one.nozzles) ??
    heater('bed', all.bed, one.bed) ??
    heater('chamber', all.chamber, one.chamber) ??
    same('fan', all.fan, one.fan) ??
    same('motors', all.motors, one.motors) ??
    same('tool', all.tool, one.tool) ??
    number('retracted', all.retracted, one.retracted) ??
    same('coldAllowed', all.coldAllowed, one.coldAllowed) ??
    same('stopped', all.stopped, one.stopped) ??
    number('speedFactor', all.speedFactor, one.speedFactor) ??
    number('flowFactor', all.flowFactor, one.flowFactor);

  function moveInside(all: Move | null, one: Move | null): Found {
    if (!all || !one) return all === one ? null : 'only one of them moves';
    // Where a start is not known the extent is that of the end alone, as documented.
    const whole = {
      x: all.from.x ? all.extent.x : null,
      y: all.from.y ? all.extent.y : null,
      z: all.from.z ? all.extent.z : null,
    };
    const after = AXES.find((a) => a !== 'e' && one.moves[a] && !all.moves[a]);
    return (
      same('kind', all.kind, one.kind) ??
      place('from', all.from, one.from) ??
      place('to', all.to, one.to) ??
      place('extent', whole, one.extent) ??
      number('length', all.length, one.length) ??
      number('e', all.e, one.e) ??
      number('pushed', all.pushed, one.pushed) ??
      number('speed', all.feed, one.feed) ??
      number('move seconds', all.seconds, one.seconds) ??
      same('arcFault', all.arcFault, one.arcFault) ??
      (all.arc && !one.arc ? 'only the run over all jobs has an arc' : null) ??
      (after ? `${after} moves after all` : null)
    );
  }

  const stepInside = (all: Step, one: Step): Found =>
    stateInside(all.before, one.before) ??
    stateInside(all.after, one.after) ??
    moveInside(all.move, one.move) ??
    number('seconds', all.seconds, one.seconds);

  function totalsInside(all: Totals, one: Totals, open: Move['moves']): Found {
    const hull = (what: 'extent' | 'extruded'): Found =>
      first(
        ...(['x', 'y', 'z'] as const).map((a) =>
          // The extent is that of the moves with a known place. An axis that stands still counts as none that is not
          // placed, since where it stands is most often known in no job either (Z before homing). Where jobs do know
          // it, by a G92 with a tag that may have no value, their extent holds more than was told of the others.
          one[what][a] === null || all.unplaced > 0 || (what === 'extent' && open[a])
            ? null
            : number(`${what}.${a}`, all[what][a], one[what][a]),
        ),
      );
    return first(
      hull('extent'),
      hull('extruded'),
      number('travel', all.travel, one.travel),
      number('extruding', all.extruding, one.extruding),
      number('filament', all.filament, one.filament),
      number('total seconds', all.seconds, one.seconds),
      number('hottest nozzle', all.hottest.nozzle, one.hottest.nozzle),
      number('hottest bed', all.hottest.bed, one.hottest.bed),
      all.unplaced === 0 && one.moves > all.moves ? `${one.moves} moves, not at most ${all.moves}` : null,
    );
  }

  return { state: stateInside, step: stepInside, totals: totalsInside };
}

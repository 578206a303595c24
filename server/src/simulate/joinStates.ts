import { anew, type Bounds, cover, join, type Known } from '../placeholders/bounds.ts';
import type { Heater, PerAxis, State, Tri } from './state.ts';

const either = (a: Tri, b: Tri): Tri => (a === b ? a : null);
/** One of two numbers, the same one wherever it is used from here on. */
function joinKnown(a: Known, b: Known): Known {
  const both = join(a, b);
  return !both || both.form || both.lo === both.hi ? both : anew(both);
}
const perAxis = (a: PerAxis<Known>, b: PerAxis<Known>): PerAxis<Known> =>
  a === b ? a : { x: joinKnown(a.x, b.x), y: joinKnown(a.y, b.y), z: joinKnown(a.z, b.z), e: joinKnown(a.e, b.e) };
/** A heater that is one of two, nobody knows which. */
export const joinHeaters = (a: Heater, b: Heater): Heater =>
  a === b
    ? a
    : { target: joinKnown(a.target, b.target), awaited: either(a.awaited, b.awaited), now: joinKnown(a.now, b.now) };

/** What is true of the machine when either `a` or `b` is: used where two branches of a section meet again. */
export function joinStates(a: State, b: State): State {
  if (a === b) return a;
  return {
    at: perAxis(a.at, b.at),
    offset: perAxis(a.offset, b.offset),
    work: perAxis(a.work, b.work),
    workTable: a.workTable === b.workTable ? a.workTable : joinTables(a.workTable, b.workTable),
    homed: {
      x: either(a.homed.x, b.homed.x),
      y: either(a.homed.y, b.homed.y),
      z: either(a.homed.z, b.homed.z),
    },
    relative: either(a.relative, b.relative),
    relativeE: either(a.relativeE, b.relativeE),
    ownE: either(a.ownE, b.ownE),
    inches: either(a.inches, b.inches),
    unit: cover(a.unit, b.unit),
    plane: a.plane === b.plane ? a.plane : null,
    motion: a.motion === b.motion ? a.motion : null,
    feed: joinKnown(a.feed, b.feed),
    inverseFeed: either(a.inverseFeed, b.inverseFeed),
    workOffset: a.workOffset === b.workOffset ? a.workOffset : null,
    nozzles: a.nozzles.map((n, i) => joinHeaters(n, b.nozzles[i] ?? n)),
    bed: joinHeaters(a.bed, b.bed),
    chamber: joinHeaters(a.chamber, b.chamber),
    fan: either(a.fan, b.fan),
    motors: either(a.motors, b.motors),
    tool: a.tool === b.tool ? a.tool : null,
    retracted: joinKnown(a.retracted, b.retracted),
    coldAllowed: either(a.coldAllowed, b.coldAllowed),
    stopped: either(a.stopped, b.stopped),
    speedFactor: joinKnown(a.speedFactor, b.speedFactor),
    flowFactor: joinKnown(a.flowFactor, b.flowFactor),
  };
}

function joinTables(a: State['workTable'], b: State['workTable']): State['workTable'] {
  const unset: Bounds = { lo: 0, hi: 0 };
  const zero: PerAxis<Known> = { x: unset, y: unset, z: unset, e: unset };
  const joined = new Map<number, PerAxis<Known>>();
  for (const key of new Set([...a.keys(), ...b.keys()]))
    joined.set(key, perAxis(a.get(key) ?? zero, b.get(key) ?? zero));
  return joined;
}

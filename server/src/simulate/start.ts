import type { Machine } from '../machine/machine.ts';
import { exact, isExact, type Known } from '../placeholders/bounds.ts';
import { asNumber } from '../placeholders/evaluate.ts';
import type { Env } from '../placeholders/value.ts';
import type { Role } from '../syntax/role.ts';
import { whole } from './afterMove.ts';
import type { Heater, PerAxis, State } from './state.ts';

/** A cold machine stands at room temperature. Common practice, no source. */
const ROOM = { lo: 5, hi: 45 };

/** How much a job may have pulled back before it hands over, mm. Common practice, no source. */
const SOME_RETRACTION = { lo: 0, hi: 10 };

const ZERO: PerAxis<Known> = { x: exact(0), y: exact(0), z: exact(0), e: exact(0) };
const NOWHERE: PerAxis<Known> = { x: null, y: null, z: null, e: null };
const cold: Heater = { target: exact(0), awaited: true, now: ROOM };
const hot = (target: Known): Heater => ({ target, awaited: true, now: target });

/**
 * The state in which a text of this role begins.
 * - start: unhomed, cold, in modes left by whatever ran before, so not known.
 * - program: as after power-on: unhomed, cold, mm, absolute, E at zero. Common practice, no source.
 * - end: over the part at its top; layer, swap, pause: at the layer that is being printed; homed, hot and awaited, mm,
 *   absolute, with the tool that the job has in use.
 */
export function initialState(role: Role, machine: Machine | null, env: Env): State {
  const tools = Math.max(1, machine?.tools ?? 1);
  const base: State = {
    at: NOWHERE,
    offset: ZERO,
    work: ZERO,
    workTable: new Map(),
    homed: { x: false, y: false, z: false },
    relative: false,
    relativeE: false,
    ownE: false,
    inches: false,
    unit: exact(1),
    plane: 'xy',
    motion: null,
    feed: null,
    inverseFeed: false,
    workOffset: 1,
    nozzles: Array.from({ length: tools }, () => cold),
    bed: cold,
    chamber: cold,
    fan: false,
    motors: null,
    tool: tools === 1 ? 0 : null,
    retracted: exact(0),
    coldAllowed: false,
    stopped: false,
    speedFactor: exact(1),
    flowFactor: exact(1),
  };
  if (role === 'program') return { ...base, at: { ...NOWHERE, e: exact(0) } };
  if (role === 'start') {
    return { ...base, relative: null, relativeE: null, ownE: null, inches: null, coldAllowed: null, fan: null };
  }
  const value = (name: string): Known => {
    const found = env(name);
    return found ? asNumber(found) : null;
  };
  const nozzle = hot(value('heat.nozzle.later'));
  const tool = value('tool.number');
  return {
    ...base,
    tool: base.tool ?? (isExact(tool) ? tool.lo : null),
    at: { x: value('last.x'), y: value('last.y'), z: value(role === 'end' ? 'part.top' : 'layer.top'), e: null },
    homed: { x: true, y: true, z: true },
    relativeE: null,
    ownE: null,
    nozzles: base.nozzles.map(() => nozzle),
    bed: hot(value('heat.bed.later')),
    chamber: hot(value('heat.chamber')),
    fan: null,
    motors: true,
    retracted: SOME_RETRACTION,
    coldAllowed: null,
  };
}

/** A state in which nothing is known any more: behind a command that could be anything. */
export function anythingGoes(state: State): State {
  // A text may hold a million such commands on end.
  return isLost(state) ? state : { ...whole(state), ...LOST, nozzles: state.nozzles.map(() => UNKNOWN_HEATER) };
}

/** Whether nothing is known of a state, so that a command that could be anything leaves it as it is. */
export function isLost(state: State): boolean {
  for (const fact of LOST_FACTS) if (state[fact] !== LOST[fact]) return false;
  return state.nozzles.every((heater) => heater === UNKNOWN_HEATER);
}

/** mm or inches. */
const ANY_UNIT = { lo: 1, hi: 25.4 };

/** A table in which every work offset (G54 to G59.3) may have been set to anything. */
export const UNKNOWN_TABLE: State['workTable'] = new Map(Array.from({ length: 9 }, (_, i) => [i + 1, NOWHERE]));

const UNKNOWN_HEATER: Heater = { target: null, awaited: null, now: null };

/** What is left of a state's facts where nothing is known; of its nozzles there are as many as before. */
const LOST: Omit<State, 'nozzles' | 'stopped'> = {
  at: NOWHERE,
  offset: NOWHERE,
  work: NOWHERE,
  workTable: UNKNOWN_TABLE,
  homed: { x: null, y: null, z: null },
  relative: null,
  relativeE: null,
  ownE: null,
  inches: null,
  unit: ANY_UNIT,
  plane: null,
  motion: null,
  feed: null,
  inverseFeed: null,
  workOffset: null,
  bed: UNKNOWN_HEATER,
  chamber: UNKNOWN_HEATER,
  fan: null,
  motors: null,
  tool: null,
  retracted: null,
  coldAllowed: null,
  speedFactor: null,
  flowFactor: null,
};
const LOST_FACTS = Object.keys(LOST) as readonly (keyof typeof LOST)[];

import type { Machine } from '../machine/machine.ts';
import { DEFAULT_MIN } from '../rules/coldExtrusion.ts';
import { nozzleInUse } from '../rules/heaters.ts';
import type { Heater, State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';

// Some rules tell a thing once: that an axis moves before it is homed, that filament moves cold. What they have told
// already need not be looked at again, so that a program which never homes is checked as fast as others.

/** What has been told of a program so far. */
export interface ToldSoFar {
  readonly axes: { x: boolean; y: boolean; z: boolean };
  cold: Heater | null;
  waiting: Heater | null;
  tool: boolean;
  feed: boolean;
}

export const newTold = (): ToldSoFar => ({
  axes: { x: false, y: false, z: false },
  cold: null,
  waiting: null,
  tool: false,
  feed: false,
});

/** Takes note of what the rules tell at this step. */
export function noteStep(told: ToldSoFar, { move, before, after, command }: Step, machine: Machine | null): void {
  if (command.record?.effects.some((e) => e.do === 'select-tool')) told.tool = true;
  if (!move || move.kind === 'home') return;
  for (const axis of ['x', 'y', 'z'] as const) {
    const lift = axis === 'z' && before.relative !== false;
    if (move.moves[axis] && before.homed[axis] === false && !lift) told.axes[axis] = true;
  }
  if (!move.rapid && !after.feed) told.feed = true;
  if (!move.e || (move.e.lo === 0 && move.e.hi === 0)) return;
  told.tool = true;
  const heater = nozzleInUse(before);
  if (!heater || before.coldAllowed === true) return;
  if (isCold(heater, machine) && heater.now && heater.now.hi < (machine?.heat.nozzle.minExtrude ?? DEFAULT_MIN))
    told.cold = heater;
  if (isWaiting(heater) && heater.awaited === false && heater.target && heater.target.lo > 0) told.waiting = heater;
}

function isCold(heater: Heater, machine: Machine | null): boolean {
  const min = machine?.heat.nozzle.minExtrude ?? DEFAULT_MIN;
  if (!heater.now || heater.now.lo >= min) return false;
  return !(heater.awaited === false && heater.target && heater.target.lo >= min);
}

const isWaiting = ({ target, awaited }: Heater): boolean => target !== null && awaited !== true && target.hi > 0;

/** Whether filament may be moved from this state without any rule having something new to say of heat and tools. */
export function mayExtrude(told: ToldSoFar, state: State, machine: Machine | null): boolean {
  if (state.nozzles.length > 1 && !told.tool) return false;
  if (state.coldAllowed === true) return true;
  const heater = nozzleInUse(state);
  if (!heater) return true;
  return (!isCold(heater, machine) || told.cold === heater) && (!isWaiting(heater) || told.waiting === heater);
}

/** Whether each axis may move without a rule having something new to say of homing. */
export const mayMove = (told: ToldSoFar, { homed }: State): boolean =>
  (homed.x === true || told.axes.x) && (homed.y === true || told.axes.y) && (homed.z === true || told.axes.z);

import { type Known, narrowed } from '../placeholders/bounds.ts';
import type { Env } from '../placeholders/value.ts';
import { whole } from './afterMove.ts';
import type { Heater, PerAxis, State } from './state.ts';

/**
 * The state where a section's condition holds: whatever hangs on a name (the part's top, 10 mm above it, a bed's target)
 * lies where the narrowed name puts it. The state itself where that says nothing new. Numbers stay the ones that they
 * are, so that behind the section nothing has changed that the section left alone.
 */
export function narrowState(state: State, { facts }: Env): State {
  if (!facts) return state;
  const to = (known: Known): Known => narrowed(known, facts);
  const { at, offset, work, feed, retracted, nozzles, bed, chamber, speedFactor, flowFactor } = state;
  const next = {
    at: axesIn(at, to),
    offset: axesIn(offset, to),
    work: axesIn(work, to),
    feed: to(feed),
    retracted: to(retracted),
    nozzles: listIn(nozzles, (heater) => heaterIn(heater, to)),
    bed: heaterIn(bed, to),
    chamber: heaterIn(chamber, to),
    speedFactor: to(speedFactor),
    flowFactor: to(flowFactor),
  };
  // A place that is kept as numbers is a new object each time it is asked for.
  const was: typeof next = { at, offset, work, feed, retracted, nozzles, bed, chamber, speedFactor, flowFactor };
  const same = (Object.keys(next) as (keyof typeof next)[]).every((fact) => next[fact] === was[fact]);
  return same ? state : { ...whole(state), ...next };
}

function axesIn(axes: PerAxis<Known>, to: (known: Known) => Known): PerAxis<Known> {
  const { x, y, z, e } = axes;
  const next = { x: to(x), y: to(y), z: to(z), e: to(e) };
  return next.x === x && next.y === y && next.z === z && next.e === e ? axes : next;
}

function heaterIn(heater: Heater, to: (known: Known) => Known): Heater {
  const { target, awaited, now } = heater;
  const next = to(target);
  const nextNow = now === target ? next : to(now);
  return next === target && nextNow === now ? heater : { target: next, awaited, now: nextNow };
}

/** One nozzle's facts are often those of all. */
function listIn(heaters: readonly Heater[], to: (heater: Heater) => Heater): readonly Heater[] {
  const next = heaters.map((heater, i) => (i > 0 && heater === heaters[0] ? null : to(heater)));
  const first = next[0];
  const filled = next.map((heater) => heater ?? (first as Heater));
  return filled.every((heater, i) => heater === heaters[i]) ? heaters : filled;
}

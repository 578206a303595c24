import type { Bounds, Known } from '../placeholders/bounds.ts';
import { asNumber } from '../placeholders/evaluate.ts';
import type { Env } from '../placeholders/value.ts';
import { whole } from './afterMove.ts';
import type { PerAxis, State } from './state.ts';

/**
 * The state where a section's condition holds: a place that hangs on a name (the part's top, 10 mm above it) lies where
 * the name's narrowed range puts it. The state itself where that says nothing new.
 */
export function narrowState(state: State, env: Env): State {
  const at = mapAxes(state.at, (place) => narrowed(place, env));
  return at === state.at ? state : { ...whole(state), at };
}

/**
 * The state behind the section, with every place that it left alone as it was before: the same object, by which rules
 * know that nothing has moved.
 */
export function widenState(after: State, inside: State, outside: State): State {
  if (inside === outside) return after;
  const { x, y, z, e } = after.at;
  const back = (axis: keyof PerAxis<Known>, now: Known): Known => (now === inside.at[axis] ? outside.at[axis] : now);
  return { ...whole(after), at: { x: back('x', x), y: back('y', y), z: back('z', z), e: back('e', e) } };
}

function narrowed(place: Known, env: Env): Known {
  if (!place?.over) return place;
  const { of, lo, hi } = place.over;
  const value = env(of.name);
  const range: Known = value ? asNumber(value) : null;
  if (!range) return place;
  const [low, high] = [Math.max(place.lo, range.lo + lo), Math.min(place.hi, range.hi + hi)];
  if (low > high || (low === place.lo && high === place.hi)) return place;
  return { ...place, lo: low, hi: high } satisfies Bounds;
}

function mapAxes(at: PerAxis<Known>, to: (place: Known) => Known): PerAxis<Known> {
  const next = { x: to(at.x), y: to(at.y), z: to(at.z), e: to(at.e) };
  return next.x === at.x && next.y === at.y && next.z === at.z && next.e === at.e ? at : next;
}

import { isAlike } from '../placeholders/bounds.ts';
import type { Heater, State } from '../simulate/state.ts';

/** Whether the same is known of two heaters, or of one at two places. */
export const isAsHot = (a: Heater, b: Heater | null): boolean =>
  a === b || (b !== null && a.awaited === b.awaited && isAlike(a.target, b.target) && isAlike(a.now, b.now));

/** The heater of the tool in use; null where which one is not known, or there is no such tool, and they differ. */
export function nozzleInUse(state: State): Heater | null {
  const own = state.tool === null ? undefined : state.nozzles[state.tool];
  if (own) return own;
  const first = state.nozzles[0] ?? null;
  return state.nozzles.every((heater) => isAsHot(heater, first)) ? first : null;
}

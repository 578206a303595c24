import { isAlike } from '../placeholders/bounds.ts';
import { joinHeaters } from '../simulate/joinStates.ts';
import type { Heater, State } from '../simulate/state.ts';
import { once } from '../text/once.ts';

/** Whether the same is known of two heaters, or of one at two places. */
export const isAsHot = (a: Heater, b: Heater | null): boolean =>
  a === b || (b !== null && a.awaited === b.awaited && isAlike(a.target, b.target) && isAlike(a.now, b.now));

/** The heater of the tool in use; where which one is not known, or there is no such tool, all that any of them may be. */
export function nozzleInUse(state: State): Heater | null {
  const own = state.tool === null ? undefined : state.nozzles[state.tool];
  return own ?? anyOf(state.nozzles);
}

const anyOf = once((nozzles: readonly Heater[]): Heater | null => {
  const [first] = nozzles;
  if (!first) return null;
  return nozzles.every((heater) => isAsHot(heater, first)) ? first : nozzles.reduce(joinHeaters);
});

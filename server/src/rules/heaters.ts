import type { Heater, State } from '../simulate/state.ts';

/** The heater of the tool in use; null where which one is not known, or there is no such tool, and they differ. */
export function nozzleInUse(state: State): Heater | null {
  const own = state.tool === null ? undefined : state.nozzles[state.tool];
  if (own) return own;
  const first = state.nozzles[0] ?? null;
  return state.nozzles.every((heater) => heater === first) ? first : null;
}

import type { Heater, State } from '../simulate/state.ts';

/** The heater of the tool in use; null where which one is not known and they differ. */
export function nozzleInUse(state: State): Heater | null {
  if (state.tool !== null) return state.nozzles[state.tool] ?? null;
  const first = state.nozzles[0] ?? null;
  return state.nozzles.every((heater) => heater === first) ? first : null;
}

import type { Step } from '../simulate/trace.ts';
import type { FastState } from './fastState.ts';

// Where the print itself begins: at the first line of plastic that goes on. A purge line or a wipe is followed by a
// lift or by a command that prepares something (homing, heat, E set anew), a layer by more of the same.

/** So many lines of plastic on end are no purge line any more. Common practice, no source. */
export const CONTINUES = 12;
/** A travel move that rises this far ends a purge line, mm. Common practice, no source. */
export const LIFT = 1;

/** What prepares a print: behind it, plastic begins anew. */
const PREPARES: ReadonlySet<string> = new Set([
  'home',
  'heat',
  'await-heat',
  'set-position',
  'clear-offset',
  'work-offset',
  'position-unknown',
  'units',
  'distance',
  'extrusion-mode',
  'select-tool',
  'move-to',
  'dwell',
]);

/** Takes note of a command that went through the general simulator. `start`: bytes in front of its line. */
export function noteBody(fast: FastState, { command, move, after }: Step, line: number, start: number): void {
  const isBody = fast.group >= CONTINUES;
  if (!move || move.kind === 'home' || !move.pushed || move.pushed.hi <= 0 || !(move.moves.x || move.moves.y)) {
    const z = move?.moves.z && move.kind !== 'home' ? (move.to.z?.lo ?? 0) - (move.from.z?.lo ?? 0) : 0;
    const prepares = command.record === null || command.record.effects.some((e) => PREPARES.has(e.do));
    if (!isBody && (z >= LIFT || prepares)) fast.group = 0;
    return;
  }
  if (fast.group === 0) {
    fast.groupLine = line;
    fast.groupStart = start;
    fast.groupZ = move.to.z?.lo ?? Number.NaN;
  }
  fast.group++;
  const { at } = after;
  fast.pushLine = line;
  fast.pushStart = start;
  fast.px = at.x?.lo ?? Number.NaN;
  fast.py = at.y?.lo ?? Number.NaN;
  fast.pz = at.z?.lo ?? Number.NaN;
  fast.pe = at.e?.lo ?? Number.NaN;
  fast.pf = after.feed?.lo ?? Number.NaN;
  fast.pushModes = after;
}

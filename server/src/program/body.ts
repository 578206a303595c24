import type { BoundCommand } from '../commands/bind.ts';
import type { Known } from '../placeholders/bounds.ts';
import type { Move } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { FastState } from './fastState.ts';
import { CONTINUES, LIFT } from './slots.ts';

// Where the print itself begins: at the first line of plastic that goes on. A purge line or a wipe is followed by a
// lift or by a command that prepares something (homing, heat, E set anew), a layer by more of the same.

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

/** Whether a print may begin anew behind it: something is prepared, or what it does is not known. */
export const prepares = ({ record }: BoundCommand): boolean =>
  record === null || record.effects.some((e) => PREPARES.has(e.do));

/** Takes note of a command that went through the general simulator. `start`: bytes in front of its line. */
export function noteBody(fast: FastState, { command, move, after }: Step, line: number, start: number): void {
  const isBody = fast.group >= CONTINUES;
  if (!move || move.kind === 'home' || !move.pushed || move.pushed.hi <= 0 || !(move.moves.x || move.moves.y)) {
    const z = move?.moves.z && move.kind !== 'home' ? (move.to.z?.lo ?? 0) - (move.from.z?.lo ?? 0) : 0;
    if (!isBody && (z >= LIFT || prepares(command))) fast.group = 0;
    return;
  }
  const { at, feed } = after;
  const n = (b: Known): number => b?.lo ?? Number.NaN;
  notePush(fast, line, start, n(move.to.z));
  fast.px = n(at.x);
  fast.py = n(at.y);
  fast.pz = n(at.z);
  fast.pe = n(at.e);
  fast.pf = n(feed);
  fast.pushModes = after;
}

function notePush(fast: FastState, line: number, start: number, z: number): void {
  if (fast.group === 0) {
    fast.groupLine = line;
    fast.groupStart = start;
    fast.groupZ = z;
  }
  fast.group++;
  fast.pushLine = line;
  fast.pushStart = start;
}

/** The same for a plain move that is only counted. The state is the one behind it already. */
export function notePlain(fast: FastState, { moves, pushed, from, to }: Move, line: number, start: number): void {
  if (pushed && pushed.lo > 0 && (moves.x || moves.y)) {
    notePush(fast, line, start, to.z?.lo ?? Number.NaN);
    fast.px = fast.x;
    fast.py = fast.y;
    fast.pz = fast.z;
    fast.pe = fast.e;
    fast.pf = fast.feed;
    fast.pushModes = fast.modes;
  } else if (fast.group < CONTINUES && moves.z && (to.z?.lo ?? 0) - (from.z?.lo ?? 0) >= LIFT) fast.group = 0;
}

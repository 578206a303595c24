import { longestLine } from '../rules/longLine.ts';
import { initialState } from '../simulate/start.ts';
import type { State } from '../simulate/state.ts';
import type { ProgramContext } from './context.ts';
import { type FastState, leave, newFastState } from './fastState.ts';
import type { Collector } from './findings.ts';
import { type Kept, keptPieces } from './kept.ts';
import { limitsOf, type MoveLimits } from './limits.ts';
import { commentMarks } from './marks.ts';
import type { Lacking, Worst } from './notes.ts';
import type { ProgramLikeness } from './reading.ts';
import { type Memory, newMemory } from './remembered.ts';
import type { Still } from './still.ts';
import type { Store } from './store.ts';
import { addFilament, newSums, type Sums } from './sums.ts';
import { newTold, type ToldSoFar } from './told.ts';

/** What a run is bounded by, see `ProgramOptions`. */
export interface RunLimits {
  readonly confirm: number;
  readonly longest: number;
  readonly part: number;
}

/** All that is known of a run over a program so far. */
export interface Ongoing {
  readonly context: ProgramContext;
  readonly found: Collector;
  readonly limits: MoveLimits;
  readonly bounds: RunLimits;
  readonly marks: Uint8Array;
  /** Longest line of which nothing is told. */
  readonly mostChars: number;
  readonly start: State;
  readonly fast: FastState;
  readonly sums: Sums;
  readonly told: ToldSoFar;
  readonly ignores: Set<string>;
  readonly lacking: Lacking;
  readonly kept: Kept;
  readonly memory: Memory;
  readonly worst: Worst;
  readonly reading: ProgramLikeness;
  /** How often each rule has had something to say of lines that were known already, and were looked at again. */
  readonly again: Map<string, number>;
  /** Behind the last line that went through the general simulator. */
  state: State;
  /** `fast` has the state. */
  on: boolean;
  /** Plain moves may have come: what leads up to them is a program, whatever else is in it. */
  moves: boolean;
  /** The last line that went through the general simulator, if it changed nothing. */
  still: Still | null;
  /** The line behind it, or behind its repetitions. */
  stillNext: number;
  /** Pieces that went through it, and moves in them. */
  pieces: number;
  simulatedMoves: number;
  /** Lines that were only counted and are no moves. */
  recalled: number;
}

export function newOngoing(context: ProgramContext, found: Collector, store: Store, bounds: RunLimits): Ongoing {
  const { machine, env, tags } = context;
  const marks = commentMarks(tags.pairs.map(({ open }) => open));
  const mostChars = longestLine(machine);
  const start = initialState('program', machine, env);
  const ignores = new Set<string>();
  return {
    ...{ context, found, bounds, marks, mostChars, start, ignores },
    limits: limitsOf(machine),
    fast: newFastState(store.numbers, start),
    sums: newSums(store.numbers),
    told: newTold(),
    lacking: new Map(),
    kept: keptPieces(context, found, start, ignores, bounds.part),
    memory: newMemory(context, marks, mostChars),
    worst: { lines: 0, flow: 0, piece: null },
    reading: { lines: 0, commands: 0 },
    again: new Map(),
    ...{ state: start, on: false, moves: false, still: null, stillNext: 0 },
    ...{ pieces: 0, simulatedMoves: 0, recalled: 0 },
  };
}

/** The state behind the lines so far. */
export function stateNow({ on, state, fast, sums }: Ongoing): State {
  if (!on) return state;
  const now = leave(fast);
  if (fast.filament !== 0) addFilament(sums, now, fast.filament);
  fast.filament = 0;
  return now;
}

/** Takes note of how long the next line is, in bytes. */
export function noteLength(fast: FastState, length: number): void {
  if (length <= fast.longest) return;
  fast.longest = length;
  fast.longestLine = fast.line;
}

/**
 * Whether each of these has been told so often that it is only counted; else counts that it is told again.
 * @param counts Rules, and how often each has something to say.
 */
export function areTold({ again, bounds }: Ongoing, counts: readonly (readonly [string, number])[]): boolean {
  let all = true;
  for (const [rule, times] of counts) {
    const before = again.get(rule) ?? 0;
    if (before >= bounds.confirm) continue;
    again.set(rule, before + times);
    all = false;
  }
  return all;
}

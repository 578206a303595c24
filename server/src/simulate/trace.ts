import type { BoundCommand } from '../commands/bind.ts';
import type { Known } from '../placeholders/bounds.ts';
import type { Env } from '../placeholders/value.ts';
import type { Reader } from './context.ts';
import type { Extent, Move, State } from './state.ts';

/** One executed command: the state before and after it, and the move that it made. */
export interface Step {
  readonly command: BoundCommand;
  readonly before: State;
  readonly after: State;
  readonly move: Move | null;
  /** False inside a section that a job may leave out: what happens here happens in some jobs only. */
  readonly certain: boolean;
  /** Seconds this command takes, waits for heat not counted. */
  readonly seconds: Known;
  /**
   * Where placeholders or sections stand among its words: the words that it has in this step, and what the names stand
   * for there. Absent: all of the command's words, each written out.
   */
  readonly reads?: Reader;
}

/** The machine's state after every command, and the totals. */
export interface Trace {
  /** What the names stood for in this run: anything in their ranges, or the values of one job. */
  readonly env: Env;
  readonly start: State;
  readonly steps: readonly Step[];
  /** The steps that are no plain moves (G0 to G5): few, however long the text. */
  readonly settings: readonly Step[];
  readonly end: State;
  readonly totals: Totals;
  /** Part of the text could not be followed (sections too deep, lists too long), so that more may happen than is told. */
  readonly cut: boolean;
}

export interface Totals {
  readonly moves: number;
  /** Where the nozzle went; null per axis where no move with a known place was made. */
  readonly extent: Extent;
  /** Where it extruded. */
  readonly extruded: Extent;
  readonly travel: Known;
  readonly extruding: Known;
  /** Filament pushed forward less what was pulled back, mm. */
  readonly filament: Known;
  readonly seconds: Known;
  readonly hottest: { readonly nozzle: Known; readonly bed: Known };
  /** Moves whose place, or the way to it, is not known: above 0 the extents hold only for the others. */
  readonly unplaced: number;
}

import type { BoundCommand } from '../commands/bind.ts';
import type { Known } from '../placeholders/bounds.ts';
import type { Env } from '../placeholders/value.ts';
import type { Word } from '../syntax/nodes.ts';
import type { Reading } from './readings.ts';
import type { Extent, Move, State } from './state.ts';
import type { Guard, Node, Within } from './tree.ts';

/** One executed command: the state before and after it, and the move that it made. */
export interface Step {
  readonly command: BoundCommand;
  /** Its words as they were in this step: fewer than the command has where a section on the line leaves some out. */
  readonly words: readonly Word[];
  /** What the names stood for there, and the conditions around it. */
  readonly within: Within;
  /** What each of its words meant here; worked out when asked for. */
  readonly readings: readonly Reading[];
  /** The conditions under which it runs, from the outermost to the innermost. */
  readonly guards: readonly Guard[];
  readonly before: State;
  readonly after: State;
  readonly move: Move | null;
  /** False inside a section that a job may leave out: what happens here happens in some jobs only. */
  readonly certain: boolean;
  /** Seconds this command takes, waits for heat not counted. */
  readonly seconds: Known;
}

/** Whether what a step's words say hangs on names: some are left out in some jobs, or filled in. */
export const dependsOnNames = ({ command, words }: Step): boolean =>
  command.node.code === null || words.length < command.words.length || command.filled;

/** The machine's state after every command, and the totals. */
export interface Trace {
  /** What the names stood for in this run: anything in their ranges, or the values of one job. */
  readonly env: Env;
  readonly start: State;
  readonly steps: readonly Step[];
  /** The steps that are no plain moves (G0 to G5): few, however long the text. */
  readonly settings: readonly Step[];
  /** The steps whose words hang on names: few, however long the text. */
  readonly dependent: readonly Step[];
  readonly end: State;
  readonly totals: Totals;
  /** The steps in the text's own shape: branches that exclude one another, turns of a list. */
  readonly tree: readonly Node[];
  /** Part of the text could not be followed (sections too deep, lists too long), so that more may happen than is told. */
  readonly cut: boolean;
}

export interface Totals {
  readonly moves: number;
  /** Where the nozzle went in the moves whose place on the axis is known; null per axis where there was none. */
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

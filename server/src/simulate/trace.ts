import type { BoundCommand } from '../commands/bind.ts';
import type { Quantity } from '../commands/quantity.ts';
import type { Known } from '../placeholders/bounds.ts';
import type { Env, Value } from '../placeholders/value.ts';
import type { Section, Tag, Word } from '../syntax/nodes.ts';
import type { Span } from '../text/span.ts';
import type { Prepared } from './context.ts';
import type { Extent, Move, State } from './state.ts';

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
  /** How often bodies of lists were gone through: what a run takes, besides its steps. */
  readonly passes: number;
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

/** What one word of a step meant there. */
export interface Reading {
  readonly word: Word;
  /** Of the value; of the whole word where it has none. */
  readonly span: Span;
  readonly quantity: Quantity;
  /** As written, no unit applied, over all jobs that come to this step; null: not known, or no number. */
  readonly written: Known;
  /**
   * The same as the machine takes it: a place in machine coordinates and mm, a length in mm, filament as it moves (mm), a
   * feed in mm/min, a temperature in degrees C, a wait in s, a fan as a share of full speed, a factor as a share of 1.
   */
  readonly machine: Known;
  /** The facts of the machine file that bound it, as their paths: `reach.right`. Only those that the file states. */
  readonly limits: readonly string[];
  readonly source: Source;
}

/** Where a reading's number comes from. */
export type Source =
  | { readonly is: 'literal'; readonly span: Span }
  /** The numbers and names of every expression in the value, in the order of the text. */
  | { readonly is: 'expression'; readonly span: Span; readonly parts: readonly SourcePart[] }
  /** No number: a flag, a text, or something that could not be read. */
  | { readonly is: 'none'; readonly span: Span };

export type SourcePart =
  | { readonly is: 'number'; readonly span: Span; readonly value: number }
  | { readonly is: 'name'; readonly span: Span; readonly name: string };

/** A run in the text's own shape: what exclude one another are branches of one choice, a list's passes are turns. */
export type Node = Step | Choice | Turns;

/** Of its branches a job runs one; an empty branch stands for "left out". */
export interface Choice {
  readonly is: 'choice';
  /** The tag whose condition decides first; null behind a stop that some jobs come to. */
  readonly condition: Tag | null;
  readonly branches: readonly Branch[];
}

export interface Branch {
  /** What must be so for this branch to run, the conditions around it not repeated; empty: whatever is left. */
  readonly guards: readonly Guard[];
  readonly nodes: readonly Node[];
}

/** One pass through a list's section. */
export interface Turns {
  readonly is: 'turns';
  readonly section: Section;
  /** The names of this pass' element as far as they are known; null: nothing is known of it. */
  readonly element: ReadonlyMap<string, Value> | null;
  /** From 0. */
  readonly index: number;
  readonly nodes: readonly Node[];
}

/** A condition under which something runs: the tag's expression holds, or does not. */
export interface Guard {
  readonly condition: Tag;
  readonly holds: boolean;
}

/** Where a step runs: what the names stand for there, and under which conditions. One object for a whole body. */
export interface Within {
  readonly prepared: Prepared;
  readonly env: Env;
  readonly guard: GuardList | null;
}

/** The innermost guard, and those around it. */
export interface GuardList extends Guard {
  readonly outer: GuardList | null;
}

import type { Severity } from '../rules/rule.ts';
import type { State } from '../simulate/state.ts';

/** What a rule has found in a program, at the place of one of the first times. */
export interface ProgramFinding {
  readonly rule: string;
  readonly severity: Severity;
  /** Counted from 1. */
  readonly line: number;
  /** UTF-16 code units, counted from 1. */
  readonly column: number;
  /** Bytes from the beginning of the program. */
  readonly offset: number;
  readonly message: string;
  /** How often the rule has found something in all. */
  readonly count: number;
}

/** From and to, mm. */
export type Extension = readonly [number, number];

/** Hull of places in machine coordinates, mm; null per axis where no known place was. */
export interface ProgramExtent {
  readonly x: Extension | null;
  readonly y: Extension | null;
  readonly z: Extension | null;
}

/** What a program does in all. A number is null where it cannot be known (a move without a speed, an unknown place). */
export interface ProgramTotals {
  readonly moves: number;
  /** Where the nozzle goes, and where it extrudes. */
  readonly extent: ProgramExtent;
  readonly extruded: ProgramExtent;
  /** Moves whose place is not known: above 0 the extents hold only for the others. */
  readonly unplaced: number;
  /** Path without and with extrusion, mm. */
  readonly travel: number | null;
  readonly extruding: number | null;
  /** Heights at which a level line is extruded, mm; `typical` is the commonest step between two of them. */
  readonly layers: {
    readonly count: number;
    readonly first: number | null;
    readonly top: number | null;
    readonly typical: number | null;
    /** Moves that extrude while they rise or fall: many of them are a spiral. */
    readonly rising: number;
  };
  /** Homing and waits for heat are not counted. */
  readonly seconds: number | null;
  /** Filament pushed forward less what was pulled back, mm. */
  readonly filament: number | null;
  /** Of the filament, mm: the machine's, or the usual one. */
  readonly diameter: number;
  /** As the material that was named, else as each of the usual ones. */
  readonly mass: readonly Mass[] | null;
  /** Highest set points, degrees C, the highest possible where it is open which; 0: never set; null: not known. */
  readonly hottest: { readonly nozzle: number | null; readonly bed: number | null; readonly chamber: number | null };
  /** Numbers of the tools that extrude, and filament of each, mm. */
  readonly tools: readonly { readonly tool: number; readonly filament: number }[];
  /** In bytes, without its end. */
  readonly longestLine: { readonly length: number; readonly line: number };
  /** What the program uses and the machine does not have. */
  readonly lacking: readonly { readonly feature: string; readonly line: number; readonly count: number }[];
}

/** What the filament of a program weighs where it is of this material. */
export interface Mass {
  readonly material: string;
  readonly grams: number;
}

/** A span of whole lines, counted from 1, both ends included. */
export interface ProgramPart {
  readonly from: number;
  readonly to: number;
  /** Why it begins or ends there: a sentence. */
  readonly reason: string;
  /** What the rules of its role say of these lines alone; null where it is too long to be checked so. */
  readonly findings: readonly ProgramFinding[] | null;
}

export interface ProgramReport {
  readonly lines: number;
  readonly bytes: number;
  /** The first few of each rule, in the order of the lines. */
  readonly findings: readonly ProgramFinding[];
  readonly counts: Readonly<Record<string, number>>;
  readonly totals: ProgramTotals;
  /** null: no beginning of a print was found. */
  readonly start: ProgramPart | null;
  readonly end: ProgramPart | null;
  /** How many lines went through the fast path. */
  readonly fastLines: number;
}

/** A check under way: bytes in pieces of any size, then the report. Memory does not grow with the program. */
export interface ProgramCheck {
  push(chunk: Uint8Array): void;
  end(): ProgramReport;
  /** The machine's state behind the lines so far; a line without its end is not among them before `end`. */
  state(): State;
}

export interface ProgramOptions {
  /** What the filament is, one of `MATERIALS` (`totals.ts`), for the mass. Left out: usual materials. */
  readonly material?: string;
  /** Findings of each rule that are kept with their place. Default 10. */
  readonly keep?: number;
  /** Lines of one rule that are looked at with care before they are only counted. Default 50. */
  readonly confirm?: number;
  /** Longest line that is read, bytes; default 1 MB. */
  readonly longest?: number;
  /**
   * Lines off the fast path that are kept for the rules that look at a whole program: so many of its beginning, and once
   * or twice as many of its end. Default 1900.
   */
  readonly part?: number;
  /** Told of lines that the parser is given, those that it is given twice told twice: the work that a check takes. */
  readonly parsed?: (lines: number) => void;
}

/** What the rules say of the start and of the end, but for what is told of the same line already. */
export function ofPartsAlone(
  { start, end }: ProgramReport,
  told: readonly { readonly rule: string; readonly line: number }[],
): ProgramFinding[] {
  const known = new Set(told.map(({ rule, line }) => `${rule} ${line}`));
  return [...(start?.findings ?? []), ...(end?.findings ?? [])].filter(
    ({ rule, line }) => !known.has(`${rule} ${line}`),
  );
}

import type { Join } from '../syntax/namedForm.ts';
import type { Effect } from './effect.ts';

/** A flat area in machine coordinates, mm. A polygon's points go round in either direction; it need not be convex. */
export type Area =
  | {
      readonly shape: 'rectangle';
      readonly left: number;
      readonly right: number;
      readonly front: number;
      readonly back: number;
    }
  | { readonly shape: 'circle'; readonly centre: { readonly x: number; readonly y: number }; readonly radius: number }
  | { readonly shape: 'polygon'; readonly points: readonly (readonly [number, number])[] };

/** A named box in machine coordinates, mm, that the nozzle must not enter. */
export interface KeepOut {
  readonly name: string;
  readonly left: number;
  readonly right: number;
  readonly front: number;
  readonly back: number;
  readonly bottom: number;
  readonly top: number;
}

/** A named box beside the print, in machine coordinates, mm: a strip, a bin, a wiper. null: as high or low as it gets. */
export interface AsideArea {
  readonly name: string;
  readonly left: number;
  readonly right: number;
  readonly front: number;
  readonly back: number;
  readonly bottom: number | null;
  readonly top: number | null;
  /** What may happen in it. */
  readonly may: readonly AsideUse[];
}

/** `push`: filament may be pushed out there; `touch`: the nozzle may touch what stands there. */
export type AsideUse = 'push' | 'touch';

/** A printer as its machine file describes it. Lengths mm, speeds mm/s, temperatures degrees C. null: not stated. */
export interface Machine {
  readonly name: string;
  /** Where it may extrude. */
  readonly bed: Area | null;
  /** Where the nozzle may travel. Not stated: the bed's area, with no limit in height. */
  readonly reach: (Area & { readonly bottom: number | null; readonly top: number | null }) | null;
  readonly keepOut: readonly KeepOut[];
  readonly areas: readonly AsideArea[];
  readonly home: { readonly x: number; readonly y: number; readonly z: number };
  readonly nozzle: { readonly diameter: number };
  readonly filament: { readonly diameter: number };
  readonly heat: {
    readonly nozzle: { readonly max: number | null; readonly minExtrude: number };
    /** 0: the bed has no heater. */
    readonly bed: { readonly max: number | null };
    /** null: no chamber heater stated. */
    readonly chamber: { readonly max: number | null } | null;
  };
  /** mm3/s. */
  readonly mostFlow: number | null;
  /** Top speeds, mm/s; null: no limit known. */
  readonly speed: {
    readonly x: number | null;
    readonly y: number | null;
    readonly z: number | null;
    readonly e: number | null;
  };
  /** mm/s2; null: not stated, so that moves are timed without acceleration. */
  readonly acceleration: number | null;
  readonly tools: number;
  readonly controller: Traits;
  readonly commands: readonly NamedCommand[];
  /** Role to file names, relative to the machine file. */
  readonly sequences: ReadonlyMap<string, readonly string[]>;
  /** Vocabulary file, relative to the machine file. */
  readonly placeholders: string | null;
  /** Rule id to how its findings count in texts of this machine; ids that no rule has are kept. */
  readonly rules: ReadonlyMap<string, RuleSeverity>;
}

/** How findings of a rule count; 'off': the rule is not run. */
export type RuleSeverity = 'error' | 'warning' | 'info' | 'hint' | 'off';

/** Letters of axes beside X, Y, Z: RS-274 has A, B, C (NISTIR 6556 3.1); U, V and W stand for parallel ones (ISO 6983-1). */
export const FURTHER_AXES = ['U', 'V', 'W', 'A', 'B', 'C'] as const;

/** Facts about a controller. null: not stated, so that nobody knows. */
export interface Traits {
  /** Unit of P in G4. */
  readonly dwell: 'ms' | 's' | null;
  /** The value of M106 S that means full speed: 255, 100 or 1. */
  readonly fanFull: number | null;
  /** Several commands may share a line. */
  readonly commandsPerLine: 'one' | 'many';
  /** G90/G91 also govern E. */
  readonly distanceGovernsE: boolean | null;
  readonly arcs: boolean;
  /** Characters. */
  readonly longestLine: number | null;
  /** Only upper-case letters are understood. */
  readonly upperCase: boolean;
  readonly unknownCommand: 'ignored' | 'refused' | null;
  /** What becomes of a word that a command does not take. */
  readonly furtherWords: 'ignored' | 'refused' | null;
  /** S of M109 and M190 waits for cooling too. */
  readonly waitsForCooling: boolean | null;
  /** R of M109 and M190 sets a target, and is waited for both ways. */
  readonly waitsByR: boolean | null;
  /** Whether homing leaves a measured bed in force. */
  readonly meshAfterHoming: 'kept' | 'forgotten' | null;
  /** What G10 without L does. */
  readonly g10: 'retract' | 'set' | null;
  /** Letters of axes beside X, Y, Z and E. */
  readonly axes: readonly string[] | null;
  /** Codes that this controller does not have. */
  readonly missing: readonly string[];
  readonly namedCommands: NamedStyle;
}

/** How the controller has its named commands written. null: not stated. */
export interface NamedStyle {
  /** What stands between a word and its value. */
  readonly joins: Join | null;
  readonly case: 'upper' | 'lower' | 'any' | null;
  /** A single letter directly followed by a number is a word, as in G-code. */
  readonly letters: boolean | null;
}

/** A command of the machine's own, by name. */
export interface NamedCommand {
  /** In upper case. */
  readonly name: string;
  /** As its machine file writes it; absent: in upper case. */
  readonly written?: string;
  readonly meaning: string;
  readonly words: readonly {
    /** In upper case. */
    readonly key: string;
    /** As its machine file writes it; absent: in upper case. */
    readonly written?: string;
    readonly meaning: string;
    readonly unit: string;
    readonly required: boolean;
    /** What holds without it; absent: not stated. */
    readonly default?: number;
    /** Bounds of its number; absent: none are checked. */
    readonly min?: number;
    readonly max?: number;
  }[];
  readonly effects: readonly Effect[];
}

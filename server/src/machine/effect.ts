/** A linear axis. */
export type Axis = 'x' | 'y' | 'z';
export type HeaterKind = 'nozzle' | 'bed' | 'chamber';

/** What a command does to the machine's state, as data. `key` fields name the word that gives the number. */
export type Effect =
  | { readonly do: 'line'; readonly rapid: boolean }
  | { readonly do: 'arc'; readonly clockwise: boolean }
  /** A move whose path is not followed; only its end (X Y Z E words) counts, and the path is unknown. */
  | { readonly do: 'curve' }
  | { readonly do: 'dwell' }
  | { readonly do: 'plane'; readonly plane: 'xy' | 'zx' | 'yz' }
  | { readonly do: 'units'; readonly inches: boolean }
  | { readonly do: 'distance'; readonly relative: boolean }
  | { readonly do: 'extrusion-mode'; readonly relative: boolean }
  | { readonly do: 'feed-mode'; readonly inverse: boolean }
  /** G53: this line's motion is in machine coordinates. */
  | { readonly do: 'machine-coordinates' }
  /** F by itself: the speed of the moves that follow. */
  | { readonly do: 'feed' }
  | { readonly do: 'home' }
  /** G92: the current position reads as the given values; all axes zero where none is given (common practice). */
  | { readonly do: 'set-position' }
  | { readonly do: 'clear-offset' }
  | { readonly do: 'work-offset'; readonly index: number }
  /** Ends somewhere that is not known (probing, levelling), though it stays homed. */
  | { readonly do: 'position-unknown'; readonly axes: readonly Axis[] }
  | {
      readonly do: 'heat';
      readonly heater: HeaterKind;
      readonly wait: boolean;
      readonly key?: string;
      readonly coolKey?: string;
      /** The word that names the tool whose nozzle it is; absent: T. */
      readonly toolKey?: string;
      /** Degrees C where no word gives them (named commands: a routine that always heats alike). */
      readonly to?: number;
    }
  /** Waits until all (or the named) heaters are at their targets. */
  | { readonly do: 'await-heat'; readonly heaters: readonly HeaterKind[] }
  | { readonly do: 'fan'; readonly on: boolean }
  | { readonly do: 'motors'; readonly on: boolean }
  | { readonly do: 'select-tool'; readonly key: string }
  | { readonly do: 'allow-cold' }
  | { readonly do: 'speed-factor' }
  | { readonly do: 'flow-factor' }
  | { readonly do: 'retract' }
  | { readonly do: 'unretract' }
  /** Moves to fixed coordinates that a machine file gives (named commands), in machine mm. */
  | { readonly do: 'move-to'; readonly x?: number; readonly y?: number; readonly z?: number }
  /** Pushes this much filament, mm (named commands: a purge routine). */
  | { readonly do: 'extrude'; readonly length: number }
  /** Ends the program: nothing after it runs. */
  | { readonly do: 'stop' };

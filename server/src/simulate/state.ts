import type { Bounds, Known } from '../placeholders/bounds.ts';

/** Yes, no, or not known (null). */
export type Tri = boolean | null;

/** The four axes that a state follows. */
export type AxisE = 'x' | 'y' | 'z' | 'e';
export type PerAxis<T> = { readonly x: T; readonly y: T; readonly z: T; readonly e: T };

/** One heater. Temperatures in degrees C. */
export interface Heater {
  /** The set point; 0 is off; null: not known. */
  readonly target: Known;
  /** Whether a wait for this target has been passed since it was last raised. */
  readonly awaited: Tri;
  /** Bounds of how hot it can be now; null: not known. */
  readonly now: Known;
}

/**
 * The machine's state between two commands. Lengths mm, feed mm/min. `at` is what the axis reads (program coordinates);
 * machine position = at + offset. Unknown is null everywhere.
 */
export interface State {
  readonly at: PerAxis<Known>;
  /** Sum of the work offset (G54 to G59) and the shift that G92 made. */
  readonly offset: PerAxis<Known>;
  /** The shares of `offset`: `work` of the work offset in force, the rest made by G92. */
  readonly work: PerAxis<Known>;
  /** Work offsets that G10 L2 has set, by number; one that is not here counts as zero. */
  readonly workTable: ReadonlyMap<number, PerAxis<Known>>;
  readonly homed: { readonly x: Tri; readonly y: Tri; readonly z: Tri };
  readonly relative: Tri;
  readonly relativeE: Tri;
  /** The mode of E as M82 and M83 alone have left it: on a controller whose G90 and G91 leave E alone it is `relativeE`. */
  readonly ownE: Tri;
  readonly inches: Tri;
  /** mm for each unit of a length word. Units that were never stated count as mm: what a printer has after power-on. */
  readonly unit: Bounds;
  readonly plane: 'xy' | 'zx' | 'yz' | null;
  /** The last motion command ('G1'), for lines that give words only. null: none yet. */
  readonly motion: string | null;
  readonly feed: Known;
  readonly inverseFeed: Tri;
  /** null: not known. */
  readonly workOffset: number | null;
  readonly nozzles: readonly Heater[];
  readonly bed: Heater;
  readonly chamber: Heater;
  readonly fan: Tri;
  readonly motors: Tri;
  /** null: not known. */
  readonly tool: number | null;
  /** Filament that has been pulled back and not yet pushed forward again, mm. */
  readonly retracted: Known;
  readonly coldAllowed: Tri;
  /** True behind M2/M30: nothing after it runs. */
  readonly stopped: Tri;
  /** Speed and flow factors, 1 = as written. A factor that was never stated counts as 1. */
  readonly speedFactor: Known;
  readonly flowFactor: Known;
}

/** A straight or arc move in machine coordinates, mm. */
export interface Move {
  readonly kind: 'line' | 'arc' | 'curve' | 'home';
  readonly rapid: boolean;
  readonly from: { readonly x: Known; readonly y: Known; readonly z: Known };
  readonly to: { readonly x: Known; readonly y: Known; readonly z: Known };
  /** Hull of the whole path, arcs' bulges included. */
  readonly extent: { readonly x: Known; readonly y: Known; readonly z: Known };
  /** Exact arcs only. Angles in radians, counter-clockwise positive; centre and radius in the arc's plane. */
  readonly arc: Arc | null;
  /** Why the arc cannot be run, for `bad-arc`. */
  readonly arcFault: string | null;
  /** Path length, mm. */
  readonly length: Known;
  /** Filament moved forward (negative: pulled back), mm. */
  readonly e: Known;
  /** Filament that leaves the nozzle: what is pushed beyond making good an earlier retraction, mm. */
  readonly pushed: Known;
  /** mm/min after the machine's limits. */
  readonly feed: Known;
  readonly seconds: Known;
  /** Axes that this command moves or may move. */
  readonly moves: { readonly x: boolean; readonly y: boolean; readonly z: boolean };
}

export interface Arc {
  readonly plane: 'xy' | 'zx' | 'yz';
  /** In the order of the plane's axes: x,y / z,x / y,z. */
  readonly centre: readonly [number, number];
  readonly radius: number;
  readonly startAngle: number;
  /** Signed sweep. */
  readonly sweep: number;
}

/** Hull of positions seen, mm. null: nothing yet. */
export interface Extent {
  readonly x: Bounds | null;
  readonly y: Bounds | null;
  readonly z: Bounds | null;
}

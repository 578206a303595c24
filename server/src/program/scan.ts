import { arcPath, arcTolerance } from './arcPath.ts';
import type { FastState } from './fastState.ts';
import type { MoveLimits } from './limits.ts';
import { commentEnd } from './marks.ts';
import { Flag, Slot } from './slots.ts';
import type { Store } from './store.ts';
import { countHeight, type Sums } from './sums.ts';

const CODES = ['G0', 'G1', 'G2', 'G3'] as const;

/**
 * Runs the lines that lie in the memory between `from` and `end`, the last one with its end, and returns where the first
 * begins that it does not take; of that nothing has been counted.
 * @param base Bytes of the program in front of the memory's first byte.
 */
export type ScanLines = (from: number, end: number, base: number) => number;

/**
 * The fast path: plain lines (G0 and G1 with X Y Z E F, G2 and G3 with a centre, comments behind `;`, blank lines) with
 * all state in numbers. It stops in front of the first line that is anything else, or that may break a rule. The work
 * itself is in `server/kernel/scan.ts`. Where it cannot run, nothing is taken for plain.
 */
export function scanOf(
  store: Store,
  fast: FastState,
  sums: Sums,
  limits: MoveLimits,
  marks: Uint8Array,
  mostChars: number,
): ScanLines {
  if (store.scan === null) return (from) => from;
  const { numbers, bytes } = store;
  const hull = numbers.subarray(Slot.hullLeft, Slot.hullLeft + 4);
  let tolerance = 0;
  const kernel = store.scan({
    commentEnd: (from) => commentEnd(marks, bytes, from),
    arcPath: (x, y, nx, ny, i, j, clockwise) => arcPath(hull, x, y, nx, ny, i, j, clockwise === 1, tolerance),
    countHeight: (z) => countHeight(sums.layers, z),
  });
  setLimits(numbers, limits);
  return (from, end, base) => {
    tolerance = arcTolerance(fast.modes.inches === true);
    const flags =
      (fast.relative ? Flag.relative : 0) |
      (fast.relativeE ? Flag.relativeE : 0) |
      (fast.extrudes ? Flag.extrudes : 0) |
      (fast.arcs ? Flag.arcs : 0);
    const { pushStart } = fast;
    const stop = kernel.scan(from, end, base, flags, mostChars);
    if (fast.pushStart !== pushStart) fast.pushModes = fast.modes;
    const motion = kernel.lastMotion();
    if (motion >= 0) {
      fast.motion = CODES[motion] as string;
      fast.wordsMove = fast.motion;
    }
    return stop;
  };
}

function setLimits(numbers: Float64Array, { reach, bed, keepOut, speed, acceleration, fastest }: MoveLimits): void {
  numbers.set(reach, Slot.left);
  numbers.set(bed.slice(0, 4), Slot.bedLeft);
  numbers.set(keepOut.slice(0, 4), Slot.outLeft);
  numbers[Slot.outTop] = keepOut[5];
  numbers.set([speed.x, speed.y, speed.z, speed.e, acceleration, fastest], Slot.topX);
}

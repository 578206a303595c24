import type { Arc } from './state.ts';

/** What a G2 or G3 says, in the plane's own two axes, mm. Offsets are increments from the start, as RS-274 has them. */
export interface ArcWords {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly offset: readonly [number | null, number | null];
  readonly radius: number | null;
  readonly clockwise: boolean;
  /** How far the two radii may differ, mm (NISTIR 6556 3.5.3.2: 0.002 mm or 0.0002 inch). */
  readonly tolerance: number;
  readonly plane: Arc['plane'];
}

/** mm, exactly (international yard and pound agreement, 1959). */
export const INCH = 25.4;

/** That tolerance where lengths are read in mm or in inches, mm. */
export const arcTolerance = (inches: boolean): number => (inches ? 0.0002 * INCH : 0.002);

/** A rounding allowance far below the tolerance keeps decimals such as 0.0019 on the right side of it. */
export const ARC_ROUNDING = 1e-9;

/** The turn from one angle to another is a full circle where it is less than this, or the end lies that near the start: a hair by rounding. */
export const FULL_CIRCLE = 1e-9;

const TURN = 2 * Math.PI;
const NAMES = { xy: ['I', 'J'], zx: ['K', 'I'], yz: ['J', 'K'] } as const;
const mm = (n: number): string => String(Math.round(n * 1e4) / 1e4);

/**
 * The arc that the words mean, or a sentence that says why there is none.
 * NISTIR 6556 3.5.3: centre form and radius form; R above 0 turns at most 180 degrees, below 0 more.
 */
export function readArc(w: ArcWords): { readonly arc: Arc } | { readonly fault: string } {
  const [x0, y0] = w.from;
  const [x1, y1] = w.to;
  const [first, second] = NAMES[w.plane];
  let centre: [number, number];
  let radius: number;
  if (w.radius !== null) {
    if (w.offset[0] !== null || w.offset[1] !== null) {
      return { fault: `The arc gives both R and ${first}/${second}. Give the radius or the centre, not both.` };
    }
    const dx = x1 - x0;
    const dy = y1 - y0;
    const chord = Math.hypot(dx, dy);
    if (chord === 0)
      return {
        fault:
          'The arc is given by R but ends where it starts, so its centre could be anywhere. Give the centre with I and J.',
      };
    radius = Math.abs(w.radius);
    if (radius === 0) return { fault: 'The arc has R 0. A radius must be more than 0 mm.' };
    const rest = radius * radius - (chord * chord) / 4;
    if (rest < 0 && chord / 2 - radius > w.tolerance) {
      return {
        fault: `R ${mm(radius)} is too small: the end is ${mm(chord)} mm away, so the radius must be at least ${mm(chord / 2)} mm.`,
      };
    }
    const away = Math.sqrt(Math.max(0, rest));
    // The centre lies left of the chord for a short counter-clockwise arc; each of the two switches changes the side.
    const side = (w.clockwise ? -1 : 1) * (w.radius > 0 ? 1 : -1);
    centre = [x0 + dx / 2 - (side * away * dy) / chord, y0 + dy / 2 + (side * away * dx) / chord];
  } else {
    const di = w.offset[0] ?? 0;
    const dj = w.offset[1] ?? 0;
    centre = [x0 + di, y0 + dj];
    radius = Math.hypot(di, dj);
    if (radius === 0)
      return { fault: `The arc's centre is its start (${first} and ${second} are 0), so it has no radius.` };
    const endRadius = Math.hypot(x1 - centre[0], y1 - centre[1]);
    const differ = Math.abs(endRadius - radius);
    if (differ > w.tolerance + ARC_ROUNDING) {
      return {
        fault: `The end does not lie on the arc: it is ${mm(endRadius)} mm from the centre, the start ${mm(radius)} mm, ${mm(differ)} mm apart (at most ${w.tolerance} mm is allowed). Check ${first}, ${second} and the end point.`,
      };
    }
  }
  const startAngle = Math.atan2(y0 - centre[1], x0 - centre[0]);
  const endAngle = Math.atan2(y1 - centre[1], x1 - centre[0]);
  let sweep = w.clockwise ? startAngle - endAngle : endAngle - startAngle;
  sweep = ((sweep % TURN) + TURN) % TURN;
  if (w.radius === null) {
    if (sweep < FULL_CIRCLE || Math.hypot(x1 - x0, y1 - y0) <= FULL_CIRCLE) sweep = TURN;
  }
  return { arc: { plane: w.plane, centre, radius, startAngle, sweep: w.clockwise ? -sweep : sweep } };
}

/** The extremes of an arc along its plane's two axes: its ends and each axis direction inside its sweep. */
export function arcExtent(
  arc: Arc,
  from: readonly [number, number],
  to: readonly [number, number],
): readonly [readonly [number, number], readonly [number, number]] {
  let [loA, hiA] = [Math.min(from[0], to[0]), Math.max(from[0], to[0])];
  let [loB, hiB] = [Math.min(from[1], to[1]), Math.max(from[1], to[1])];
  const reaches = (angle: number): boolean => {
    const turned = arc.sweep >= 0 ? angle - arc.startAngle : arc.startAngle - angle;
    return ((turned % TURN) + TURN) % TURN <= Math.abs(arc.sweep);
  };
  if (reaches(0)) hiA = arc.centre[0] + arc.radius;
  if (reaches(Math.PI)) loA = arc.centre[0] - arc.radius;
  if (reaches(Math.PI / 2)) hiB = arc.centre[1] + arc.radius;
  if (reaches(-Math.PI / 2)) loB = arc.centre[1] - arc.radius;
  return [
    [loA, hiA],
    [loB, hiB],
  ];
}

/** Path length of an arc that also climbs by `rise` along its third axis, mm. */
export const arcLength = (arc: Arc, rise: number): number => Math.hypot(arc.radius * Math.abs(arc.sweep), rise);

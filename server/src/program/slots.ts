// Read by both compilers, see `server/kernel/`.

/**
 * Where each number of a check lies in the memory that the scan shares with it: a double each, by this index.
 * Lengths mm, speeds mm/s but for `feed` and `pushFeed` (mm/min).
 */
export enum Slot {
  // The state, as `FastState` has it.
  x,
  y,
  z,
  e,
  ox,
  oy,
  oz,
  feed,
  retracted,
  unit,
  speedFactor,
  flowFactor,
  line,
  fastLines,
  longest,
  longestLine,
  filament,
  pushLine,
  pushStart,
  px,
  py,
  pz,
  pe,
  pf,
  group,
  groupLine,
  groupStart,
  groupZ,
  // The sums, as `Sums` has them.
  moves,
  unplaced,
  travel,
  extruding,
  used,
  seconds,
  rising,
  nozzle,
  bed,
  chamber,
  lastHeight,
  // Low and high of x, y, z: where the nozzle went, and where it extruded.
  boxX0,
  boxX1,
  boxY0,
  boxY1,
  boxZ0,
  boxZ1,
  extrudedX0,
  extrudedX1,
  extrudedY0,
  extrudedY1,
  extrudedZ0,
  extrudedZ1,
  // The limits, as `Limits` has them, in machine coordinates.
  left,
  right,
  front,
  back,
  bottom,
  top,
  bedLeft,
  bedRight,
  bedFront,
  bedBack,
  outLeft,
  outRight,
  outFront,
  outBack,
  outTop,
  topX,
  topY,
  topZ,
  topE,
  acceleration,
  fastest,
  // Left, right, front and back of the last arc, in program coordinates.
  hullLeft,
  hullRight,
  hullFront,
  hullBack,
}

/** What the scan is told bit by bit. */
export enum Flag {
  relative = 1,
  relativeE = 2,
  extrudes = 4,
  arcs = 8,
}

/** So many lines of plastic on end are no purge line any more. Common practice, no source. */
export const CONTINUES = 12;
/** A travel move that rises this far ends a purge line. Common practice, no source. */
export const LIFT = 1;

// Geometry of beds, reaches and keep-outs: what rules and pictures ask. Pure functions; lengths in mm.
export { bedSize, centreOf, hull, type Point } from './area.ts';
export { arcMeetsBox, boxMeetsBox, type Point3, segmentMeetsBox } from './keepOut.ts';
export {
  arcOutside,
  type Farthest,
  type Outside,
  outlineOutside,
  outside,
  placeOutside,
  type Side,
  type Sweep,
  segmentOutside,
} from './outside.ts';

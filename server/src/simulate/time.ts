import { bounds, type Known } from '../placeholders/bounds.ts';

/**
 * Seconds for a move of `length` mm at `speed` mm/s from rest to rest with `acceleration` mm/s2 (null: none counted).
 * Uniform acceleration: t = d/v + v/a where d >= v*v/a, else 2 sqrt(d/a) (Lynch and Park, Modern Robotics, ch. 9).
 */
export function moveSeconds(length: number, speed: number, acceleration: number | null): number {
  if (length === 0) return 0;
  if (acceleration === null || !Number.isFinite(acceleration)) return length / speed;
  if (length >= (speed * speed) / acceleration) return length / speed + speed / acceleration;
  return 2 * Math.sqrt(length / acceleration);
}

/** The same over bounds: longer and slower takes more. Unknown where the speed is, or may be zero. */
export function moveTime(length: Known, speed: Known, acceleration: number | null): Known {
  if (!length || !speed || speed.lo <= 0) return null;
  return bounds(moveSeconds(length.lo, speed.hi, acceleration), moveSeconds(length.hi, speed.lo, acceleration));
}

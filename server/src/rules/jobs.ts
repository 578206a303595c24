import type { Bounds, Known } from '../placeholders/bounds.ts';
import type { Tri } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';

/** In how many of the jobs something is so. */
export type Jobs = 'all' | 'some' | 'none';

export const not = (jobs: Jobs): Jobs => (jobs === 'all' ? 'none' : jobs === 'none' ? 'all' : 'some');
export const both = (a: Jobs, b: Jobs): Jobs => (a === 'none' || b === 'none' ? 'none' : a === 'all' ? b : a);
export const either = (a: Jobs, b: Jobs): Jobs => not(both(not(a), not(b)));

/** Something that was so, and is so in the jobs in which this step makes it so. */
export const most = (was: Jobs, { certain }: Step, makes: Jobs): Jobs =>
  either(was, certain ? makes : both(makes, 'some'));

/** Something that was so, but is not in the jobs in which this step ends it. */
export const less = (was: Jobs, { certain }: Step, ends: Jobs): Jobs =>
  both(was, not(certain ? ends : both(ends, 'some')));

/** Something that this step makes so, or ends. */
export const turned = (was: Jobs, step: Step, now: Jobs): Jobs => less(most(was, step, now), step, not(now));

export const inJobs = (is: Tri): Jobs => (is === null ? 'some' : is ? 'all' : 'none');
/** In how many jobs a number lies above a limit; what is not known may. */
export const isAbove = (b: Known, limit: number): Jobs => (!b ? 'some' : within(b.lo > limit, b.hi > limit));
/** In how many jobs a number lies below a limit; what is not known may. */
export const isBelow = (b: Known, limit: number): Jobs => (!b ? 'some' : within(b.hi < limit, b.lo < limit));
/** In how many jobs a number is away from zero by more than rounding. */
export const isOff = (b: Known): Jobs => either(isAbove(b, ROUNDING), isBelow(b, -ROUNDING));

/** Sums of shifted origins are rounded. mm. */
const ROUNDING = 1e-6;

const within = (all: boolean, some: boolean): Jobs => (all ? 'all' : some ? 'some' : 'none');

/** Bounds of a/b where both lie above zero or at it; null where either is not known or b may be zero. */
export const ratio = (a: Known, b: Known): Known =>
  a && b && b.lo > 0 ? ({ lo: a.lo / b.hi, hi: a.hi / b.lo } satisfies Bounds) : null;

/** In how many jobs a number has reached a limit; what is not known may. */
export const atLeast = (b: Known, limit: number): Jobs => (!b ? 'some' : within(b.lo >= limit, b.hi >= limit));

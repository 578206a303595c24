/**
 * Work that can be left off at each `yield` and taken up again later. It knows no clock and nobody else's work: whoever
 * runs it decides when it goes on, and may never take it up again.
 */
export type Pieces<T> = Generator<undefined, T, undefined>;

/** Does all of it at once. */
export function finish<T>(work: Pieces<T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}

/** Commands, tags or findings that are gone through between two yields; a few milliseconds at most. */
export const PIECE = 512;

/** Tells when a piece is done. */
export class Pace {
  private left = PIECE;

  /** Counts so many units more; true: yield here. */
  due(units = 1): boolean {
    this.left -= units;
    if (this.left > 0) return false;
    this.left = PIECE;
    return true;
  }
}

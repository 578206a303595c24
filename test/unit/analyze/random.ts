/** Seeded random choices: the same seed gives the same choices, so that a failing case can be run again. */
export interface Random {
  /** In [0, 1). */
  next(): number;
  /** A whole number from `lo` to `hi`, both included. */
  whole(lo: number, hi: number): number;
  /** A number in [lo, hi] with so many decimals. */
  decimal(lo: number, hi: number, places: number): number;
  chance(share: number): boolean;
  pick<T>(from: readonly T[]): T;
}

/** A xorshift generator (Marsaglia 2003, shifts 13, 17 and 5). */
export function randomOf(seed: number): Random {
  let state = (Math.imul(seed + 1, 0x9e3779b1) ^ 0x2545f491) | 1;
  const next = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
  for (let i = 0; i < 8; i++) next();
  const whole = (lo: number, hi: number): number => lo + Math.floor(next() * (hi - lo + 1));
  return {
    next,
    whole,
    decimal: (lo, hi, places) => Number((lo + (hi - lo) * next()).toFixed(places)),
    chance: (share) => next() < share,
    pick: (from) => {
      const found = from[whole(0, from.length - 1)];
      if (found === undefined) throw new Error('there is nothing to pick from');
      return found;
    },
  };
}

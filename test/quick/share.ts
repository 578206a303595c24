// How much of each property test runs: all of it in `npm test`, a tenth in `npm run quick` (BOOKEND_SHARE).

const SHARE = Number(process.env.BOOKEND_SHARE ?? 1);

/** The share of `n` runs that is asked for, one at least. Also for what a test expects of so many runs. */
export const share = (n: number): number => Math.max(1, Math.round(n * SHARE));

/** The same share of a list, taken from all over it. */
export const some = <T>(list: readonly T[]): T[] => {
  const every = list.length / share(list.length);
  return list.filter((_, i) => Math.floor(i / every) > Math.floor((i - 1) / every));
};

/**
 * The fewest of a kind that a test expects to meet where it expects `n` in a whole run: of few runs chance takes a larger
 * part, so half of the share.
 */
export const fewest = (n: number): number => (SHARE < 1 ? (n * SHARE) / 2 : n);

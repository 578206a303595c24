// How much of each property test runs: all of it in `npm test`, a tenth in `npm run quick` (BOOKEND_SHARE).

const SHARE = Number(process.env.BOOKEND_SHARE ?? 1);

/** The share of `n` runs that is asked for, one at least. Also for what a test expects of so many runs. */
export const share = (n: number): number => Math.max(1, Math.round(n * SHARE));

// Two habits of long work in a place where others want their turn.

/** A pause that is made only where the last one is this long ago, ms: well below what a person notices. */
const TURN = 12;
/** Progress is told no more often than this, ms. */
const TELL = 100;

/** @param now Milliseconds since any moment. @param rest Lets others do their work. */
export function pauseEvery(now: () => number, rest: () => Promise<void>, turn = TURN): () => Promise<void> {
  let last = now();
  return async () => {
    if (now() - last < turn) return;
    await rest();
    last = now();
  };
}

/** Tells the first and the last, and of those between only some. */
export function tellSome(
  now: () => number,
  tell: (done: number, total: number | null) => void,
): (done: number, total: number | null) => void {
  let last = Number.NEGATIVE_INFINITY;
  return (done, total) => {
    if (now() - last < TELL && done !== total) return;
    last = now();
    tell(done, total);
  };
}

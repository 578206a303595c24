/** A stretch of rows that differs: rows [fromA, toA) of one text stand where the other has [fromB, toB). */
export interface Change {
  readonly fromA: number;
  readonly toA: number;
  readonly fromB: number;
  readonly toB: number;
}

/** Differences beyond this many rows are told as one big change: the search grows with the square of it. */
const MOST_ROWS = 1500;

/**
 * The least rows to take out and put in to make `b` of `a`, in order (Myers, "An O(ND) difference algorithm and its
 * variations", Algorithmica 1, 1986: the greedy algorithm of figure 2).
 */
export function changedRows(a: readonly string[], b: readonly string[]): Change[] {
  let head = 0;
  while (head < a.length && head < b.length && a[head] === b[head]) head++;
  let tail = 0;
  const most = Math.min(a.length, b.length) - head;
  while (tail < most && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail++;
  const n = a.length - head - tail;
  const m = b.length - head - tail;
  if (n === 0 && m === 0) return [];
  const rounds = n === 0 || m === 0 ? null : farthestRows(a, b, head, n, m);
  if (!rounds) return [{ fromA: head, toA: head + n, fromB: head, toB: head + m }];
  return grouped(backwards(rounds, n, m), head);
}

/**
 * For each number d of single changes, how many rows of `a` can be passed on each diagonal k (rows of `a` less rows of
 * `b`), where k = -d, -d + 2, … d; null: too many changes.
 */
function farthestRows(
  a: readonly string[],
  b: readonly string[],
  head: number,
  n: number,
  m: number,
): Int32Array[] | null {
  const rounds: Int32Array[] = [];
  for (let d = 0; d <= Math.min(n + m, MOST_ROWS); d++) {
    const now = new Int32Array(d + 1);
    const last = rounds[d - 1];
    for (let i = 0; i <= d; i++) {
      const k = 2 * i - d;
      let x = last ? step(last, i).x : 0;
      while (x < n && x - k < m && a[head + x] === b[head + x - k]) x++;
      now[i] = x;
      if (x >= n && x - k >= m) return [...rounds, now];
    }
    rounds.push(now);
  }
  return null;
}

/** The single change that reaches the i-th diagonal farthest: a row of `b` put in, or one of `a` taken out. */
function step(last: Int32Array, i: number): { readonly x: number; readonly adds: boolean } {
  const down = last[i] ?? -1;
  const right = (last[i - 1] ?? -2) + 1;
  const adds = i === 0 || (i < last.length && right <= down);
  return { x: adds ? down : right, adds };
}

interface Single {
  readonly x: number;
  readonly y: number;
  /** A row of `b` put in; else a row of `a` taken out. */
  readonly adds: boolean;
}

/** The single changes along the way that was found, in order. */
function backwards(rounds: readonly Int32Array[], n: number, m: number): Single[] {
  const found: Single[] = [];
  let [x, y] = [n, m];
  for (let d = rounds.length - 1; d > 0; d--) {
    const k = x - y;
    const reached = step(rounds[d - 1] as Int32Array, (k + d) / 2);
    x = reached.adds ? reached.x : reached.x - 1;
    y = reached.x - k - (reached.adds ? 1 : 0);
    found.push({ x, y, adds: reached.adds });
  }
  return found.reverse();
}

function grouped(singles: readonly Single[], head: number): Change[] {
  const changes: Change[] = [];
  for (const { x, y, adds } of singles) {
    const last = changes[changes.length - 1];
    const [fromA, fromB] = [head + x, head + y];
    const [toA, toB] = adds ? [fromA, fromB + 1] : [fromA + 1, fromB];
    if (last && last.toA === fromA && last.toB === fromB) changes[changes.length - 1] = { ...last, toA, toB };
    else changes.push({ fromA, toA, fromB, toB });
  }
  return changes;
}

/** Where a function is largest on [lo, hi], and how large, to within `tolerance`. */
export interface Most {
  readonly at: number;
  readonly value: number;
}

/** Evaluations spent at most. A path of a metre over a bed outline takes a few hundred. */
const MOST_STEPS = 20_000;

/**
 * The largest value of `f` on [lo, hi], where f changes by at most `rate` per unit. Best first: the stretch that could
 * hold the largest value is halved until none can hold one more than `tolerance` above the best seen.
 * Runs out of steps only for lengths far beyond a printer; the best seen is returned then.
 */
export function mostOn(f: (t: number) => number, lo: number, hi: number, rate: number, tolerance: number): Most {
  const ends = [
    { at: lo, value: f(lo) },
    { at: hi, value: f(hi) },
  ] as const;
  let best: Most = ends[0].value >= ends[1].value ? ends[0] : ends[1];
  if (!(hi > lo)) return best;
  const open = [stretch(ends[0], ends[1], rate)];
  for (let steps = 0; steps < MOST_STEPS; steps++) {
    const top = pop(open);
    if (!top || top.could <= best.value + tolerance) return best;
    const at = (top.from.at + top.to.at) / 2;
    const middle = { at, value: f(at) };
    if (middle.value > best.value) best = middle;
    for (const half of [stretch(top.from, middle, rate), stretch(middle, top.to, rate)]) {
      if (half.could > best.value + tolerance) push(open, half);
    }
  }
  return best;
}

interface Stretch {
  readonly from: Most;
  readonly to: Most;
  readonly could: number;
}

/** Two slopes of `rate` from the ends meet at the highest value that the stretch could hold. */
const stretch = (from: Most, to: Most, rate: number): Stretch => ({
  from,
  to,
  could: (from.value + to.value + rate * (to.at - from.at)) / 2,
});

/** A binary heap with the highest `could` on top. */
export function push<T extends { readonly could: number }>(heap: T[], item: T): void {
  let i = heap.length;
  heap.push(item);
  while (i > 0) {
    const parent = (i - 1) >> 1;
    const above = heap[parent] as T;
    if (above.could >= item.could) break;
    heap[i] = above;
    i = parent;
  }
  heap[i] = item;
}

/** Takes the item with the highest `could` off a heap. */
export function pop<T extends { readonly could: number }>(heap: T[]): T | undefined {
  const top = heap[0];
  const last = heap.pop();
  if (top === undefined || last === undefined || heap.length === 0) return top;
  let i = 0;
  for (;;) {
    let child = 2 * i + 1;
    if (child >= heap.length) break;
    if (child + 1 < heap.length && (heap[child + 1] as T).could > (heap[child] as T).could) child++;
    if ((heap[child] as T).could <= last.could) break;
    heap[i] = heap[child] as T;
    i = child;
  }
  heap[i] = last;
  return top;
}

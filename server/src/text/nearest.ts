/**
 * The candidates that `word` may be a slip for, nearest first, at most `most`; case does not count. One letter left
 * out, added or changed, or two neighbours swapped, is one slip; short words are allowed one, longer ones a slip for
 * every three letters. Candidates equally near keep their order. Empty where nothing is near.
 */
export function nearest(word: string, candidates: Iterable<string>, most = 2): string[] {
  const wanted = word.toLowerCase();
  // Nobody means a name this long, and the work grows with the square of the length.
  if (wanted.length === 0 || wanted.length > 80 || most <= 0) return [];
  const allowed = Math.max(1, Math.floor(wanted.length / 3));
  const found: { readonly candidate: string; readonly slips: number }[] = [];
  for (const candidate of candidates) {
    const slips = slipsBetween(wanted, candidate.toLowerCase(), allowed);
    if (slips <= allowed && slips < candidate.length) found.push({ candidate, slips });
  }
  found.sort((a, b) => a.slips - b.slips);
  return found.slice(0, most).map((f) => f.candidate);
}

/** Optimal string alignment distance between two texts; anything above `limit` where it is certainly more. */
export function slipsBetween(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let slips = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) slips = Math.min(slips, (beforeLast[j - 2] ?? 0) + 1);
      row.push(slips);
      if (slips < least) least = slips;
    }
    if (least > limit) return limit + 1;
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? 0;
}

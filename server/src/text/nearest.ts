/**
 * The candidates that `word` may be a slip for, nearest first, at most `most`; case does not count. One letter left
 * out, added or changed, or two neighbours swapped, is one slip; short words are allowed one, longer ones a slip for
 * every three letters. That goes for each part of a name by itself (`heat.nozzle.first`, `minExtrude`, `off-bed`): a
 * name with another part speaks of another thing, however long what it has in common. Parts of one letter and numbers
 * must be the same (`home.x`, `tool2`), and what stands between parts does not count. Candidates equally near keep
 * their order. Empty where nothing is near.
 */
export function nearest(word: string, candidates: Iterable<string>, most = 2): string[] {
  if (word.length > 2 * LONGEST) return [];
  const own = partsOf(word);
  return ranked(own.join(''), candidates, most, (wanted, candidate, allowed) => {
    const parts = partsOf(candidate);
    const whole = parts.join('');
    if (slipsBetween(wanted, whole, allowed) > allowed) return allowed + 1;
    // Both ways: neither name may have a part that the other lacks.
    return Math.max(slipsInParts(wanted, parts, allowed), slipsInParts(whole, own, allowed));
  });
}

/** The same for codes (`M104`), which have no parts: a digit may be too many, left out or swapped, but another digit is another code. */
export function nearestCode(code: string, candidates: Iterable<string>, most = 2): string[] {
  return ranked(code.toLowerCase(), candidates, most, (wanted, candidate, allowed) => {
    if (Math.abs(wanted.length - candidate.length) > allowed) return allowed + 1;
    const other = candidate.toLowerCase();
    const slips = slipsBetween(wanted, other, allowed);
    return slips <= allowed && isOtherNumber(wanted, other) ? allowed + 1 : slips;
  });
}

/** Nobody means a longer name, and the work grows with the square of the length. */
const LONGEST = 80;

type Slips = (wanted: string, candidate: string, allowed: number) => number;

function ranked(wanted: string, candidates: Iterable<string>, most: number, slipsTo: Slips): string[] {
  if (wanted.length === 0 || wanted.length > LONGEST || most <= 0) return [];
  const allowed = allowedIn(wanted);
  const found: { readonly candidate: string; readonly slips: number }[] = [];
  for (const candidate of candidates) {
    const slips = slipsTo(wanted, candidate, allowed);
    if (slips <= allowed && slips < candidate.length) found.push({ candidate, slips });
  }
  found.sort((a, b) => a.slips - b.slips);
  return found.slice(0, most).map((f) => f.candidate);
}

const allowedIn = (word: string): number => Math.max(1, Math.floor(word.length / 3));

/** The words and numbers that a name is made of, in lower case. */
const partsOf = (name: string): string[] =>
  name
    .replace(/(\p{Ll})(?=\p{Lu})|(\p{L})(?=\p{N})|(\p{N})(?=\p{L})/gu, '$& ')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((part) => part !== '');

/** Letters that stand alone and numbers are never slips: axes, sides, counted things. */
const isFixed = (part: string): boolean => part.length < 2 || /^\p{N}/u.test(part);

/** Slips between a word and these parts in a row, each part with no more slips than it is allowed; above `limit` where there are more. */
function slipsInParts(word: string, parts: readonly string[], limit: number): number {
  // For each place in the word up to which the parts so far may reach: the fewest slips.
  let reached = new Map([[0, 0]]);
  for (const part of parts) {
    const allowed = isFixed(part) ? 0 : allowedIn(part);
    const next = new Map<number, number>();
    for (const [from, before] of reached) {
      const last = Math.min(word.length, from + part.length + allowed);
      for (let to = from + part.length - allowed; to <= last; to++) {
        const slips = slipsBetween(word.slice(from, to), part, allowed);
        const total = before + slips;
        if (slips <= allowed && total <= limit && total < (next.get(to) ?? Number.POSITIVE_INFINITY))
          next.set(to, total);
      }
    }
    reached = next;
  }
  return reached.get(word.length) ?? limit + 1;
}

/** Whether two texts of one length differ in digits alone. */
const isOtherNumber = (a: string, b: string): boolean =>
  a.length === b.length &&
  a !== b &&
  [...a].sort().join() !== [...b].sort().join() &&
  [...a].every((char, i) => char === b[i] || (/\d/.test(char) && /\d/.test(b[i] ?? '')));

/** Optimal string alignment distance between two texts; anything above `limit` where it is certainly more. */
export function slipsBetween(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  // What both begin and end with is no slip, and of most pairs too much is left.
  let same = 0;
  while (same < a.length && same < b.length && a[same] === b[same]) same++;
  let alike = 0;
  const most = Math.min(a.length, b.length) - same;
  while (alike < most && a[a.length - 1 - alike] === b[b.length - 1 - alike]) alike++;
  const [left, right] = [a.length - same - alike, b.length - same - alike];
  if (limit === 1 && Math.max(left, right) > 2) return limit + 1;
  const [own, other] = [a.slice(same, same + left), b.slice(same, same + right)];
  return lacking(own, other) > limit ? limit + 1 : distance(own, other, limit);
}

/**
 * How many letters one of two texts has that the other lacks, wherever they stand: each of them is a slip at least. Found in
 * a fraction of the time that the distance takes, and of most pairs enough to know.
 */
function lacking(a: string, b: string): number {
  if (b.length > 30) return 0;
  let taken = 0;
  let shared = 0;
  for (let i = 0; i < a.length; i++) {
    for (let j = 0; j < b.length; j++) {
      if ((taken & (1 << j)) !== 0 || a.charCodeAt(i) !== b.charCodeAt(j)) continue;
      taken |= 1 << j;
      shared++;
      break;
    }
  }
  return Math.max(a.length, b.length) - shared;
}

function distance(a: string, b: string, limit: number): number {
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

import { lineRole } from './foreignRoles.ts';

// Which pairs of delimiters a text has: each tag that was found speaks for its pair or against it.

/** A tag as found, as far as it speaks for its pair. */
export interface Witness {
  readonly pair: readonly [string, string];
  readonly content: string;
  /** In a number's place: G-code cannot be read there otherwise. */
  readonly proof: boolean;
  /** Nothing but tags, spaces and a comment on its line. */
  readonly alone: boolean;
  /** In a comment, a message or a text: it may be anything. */
  readonly hearsay: boolean;
}

/** What speaks for a pair. */
export interface PairScore {
  readonly pair: readonly [string, string];
  readonly score: number;
  /** Tags that G-code cannot be read without: in a number's place, or lines that are no commands. */
  readonly proofs: number;
  readonly lines: number;
}

/** What each kind of evidence weighs: fitted to the texts of `test/unit/syntax/foreignScore.test.ts`. */
const WEIGHS = {
  numberPlace: 4,
  /** A section opens and another tag closes one. */
  steers: 3,
  /** Two lines or more that are no commands. */
  lines: 4,
  oneLine: 2,
  /** All that stands there reads as a name, an expression or a statement. */
  reads: 2,
  /** The same is said twice. */
  twice: 1,
  prose: -4,
} as const;
/** A pair with a proof of its own is one from here on. */
export const ENOUGH = 4;
/** Beside a pair that is proven, one that only has lines of its own. */
const ENOUGH_BESIDE = 2;

export const keyOf = ([open, close]: readonly [string, string]): string => `${open} ${close}`;

/** The score of each pair, in the order in which they appear. Tags in comments and messages count for nothing. */
export function scorePairs(witnesses: readonly Witness[]): ReadonlyMap<string, PairScore> {
  const byPair = new Map<string, Witness[]>();
  for (const witness of witnesses) {
    if (witness.hearsay) continue;
    const key = keyOf(witness.pair);
    const list = byPair.get(key);
    if (list) list.push(witness);
    else byPair.set(key, [witness]);
  }
  return new Map([...byPair].map(([key, list]) => [key, scoreOf(list)]));
}

function scoreOf(witnesses: readonly Witness[]): PairScore {
  const pair = witnesses[0]?.pair ?? (['', ''] as const);
  const proofs = witnesses.filter(({ proof }) => proof).length;
  const between = pair[1] !== '' && pair[0] !== pair[1];
  const lines = between ? witnesses.filter(({ alone, proof }) => alone && !proof).length : 0;
  const contents = witnesses.map(({ content }) => content.trim());
  const roles = new Set(contents.map(lineRole));
  const remarks = isRemark(pair[0]);
  const counts: readonly (readonly [keyof typeof WEIGHS, boolean])[] = [
    ['numberPlace', proofs > 0],
    ['steers', roles.has('open') && roles.has('close')],
    ['lines', lines > 1],
    ['oneLine', lines === 1],
    ['reads', remarks || contents.every((content) => !isProse(content))],
    ['twice', new Set(contents).size < contents.length],
    ['prose', !remarks && contents.every(isProse)],
  ];
  const score = counts.reduce((sum, [what, is]) => sum + (is ? WEIGHS[what] : 0), 0);
  return { pair, score, proofs, lines };
}

/** Ends that hold remarks, whatever stands in them. */
const isRemark = (open: string): boolean => /^.[#!*]-?-?$/.test(open) && !open.startsWith('#');

/** Three words or more without a sign, of which none steers: a sentence, not an expression. */
const isProse = (content: string): boolean =>
  lineRole(content) === null &&
  /^[\p{L}'’-]+(\s+[\p{L}'’,;-]+){2,}[.!?]?$/u.test(content) &&
  !/\s(if|and|or|not|is|in|else)\s/i.test(content);

/**
 * The pairs that are accepted: those that a proof of their own takes to `ENOUGH`, and beside one of these what is enough
 * there.
 * @param ruledOut Pairs that are not asked, since they are the text's own.
 * @param given Pairs that are known to be delimiters.
 */
export function acceptedPairs(
  witnesses: readonly Witness[],
  ruledOut: (pair: readonly [string, string]) => boolean,
  given: (pair: readonly [string, string]) => boolean,
): ReadonlySet<string> {
  const scores = [...scorePairs(witnesses)].filter(([, { pair }]) => !ruledOut(pair));
  const accepted = new Set<string>();
  for (const [key, { pair, score, proofs, lines }] of scores)
    if (given(pair) || (score >= ENOUGH && (proofs > 0 || lines > 1))) accepted.add(key);
  if (accepted.size === 0) return accepted;
  for (const [key, { pair, score }] of scores)
    if (score >= ENOUGH_BESIDE && pair[1] !== '' && pair[0] !== pair[1]) accepted.add(key);
  return accepted;
}

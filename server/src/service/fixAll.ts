import type { Edit, Finding, Fix } from '../rules/rule.ts';
import { applyEdits, inOrder, overlap } from '../text/edit.ts';
import { finish, type Pieces } from '../text/pieces.ts';
import type { Analysis } from './analyze.ts';
import { fixesOf } from './fixes.ts';

/** A finding and what was done about it. */
export interface Fixed {
  readonly finding: Finding;
  readonly fix: Fix;
}

export interface FixedText {
  /** The text with all of them made. */
  readonly text: string;
  /** What was done, in the order in which it was done. Places of a later round are those of the text at that time. */
  readonly fixed: readonly Fixed[];
}

/** Rounds of fixing: what one fix uncovers is mended in the next. */
const MOST_ROUNDS = 8;
/** Fixes that are tried one by one in a round where making all of them at once did not go well. */
const MOST_TRIES = 40;

/**
 * Makes every fix that may be made without being looked at. The result is checked again each time: whatever would add
 * a finding of any rule is not made. Of fixes that overlap only the first is made, the other in the next round if it
 * is still needed.
 * @param again Checks another text in the same role, on the same machine, with the same names.
 * @param only The id of the one rule whose findings are fixed.
 */
export const fixAll = (a: Analysis, again: (text: string) => Analysis, only?: string): FixedText =>
  finish(fixingAll(a, atOnce(again), only));

/** A check without pieces, for those who want pieces. */
const atOnce = (again: (text: string) => Analysis): Again =>
  // biome-ignore lint/correctness/useYield: it is one piece
  function* (text) {
    return again(text);
  };

type Again = (text: string) => Pieces<Analysis>;

/** The same in pieces. */
export function* fixingAll(a: Analysis, again: Again, only?: string): Pieces<FixedText> {
  const fixed: Fixed[] = [];
  let now = a;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const next = yield* fixOnce(now, again, only);
    if (next.fixed.length === 0) break;
    fixed.push(...next.fixed);
    now = next.now;
  }
  return { text: now.tree.text, fixed };
}

function* fixOnce(a: Analysis, again: Again, only?: string): Pieces<{ now: Analysis; fixed: Fixed[] }> {
  const chosen = withoutOverlap(yield* safeFixing(a, only));
  const all = chosen.length > 0 ? yield* tried(a, again, chosen) : null;
  if (all) return { now: all, fixed: chosen };
  const fixed: Fixed[] = [];
  let now = a;
  for (const one of chosen.slice(0, MOST_TRIES)) {
    // Those kept so far move the places of the others, so each is tried together with them on the first text.
    const better = yield* tried(a, again, [...fixed, one]);
    if (!better) continue;
    fixed.push(one);
    now = better;
  }
  return { now, fixed };
}

/** Every finding that has such a fix, with it. */
export const safeFixes = (a: Analysis, only?: string): Fixed[] => finish(safeFixing(a, only));

/** The same in pieces: working out one fix may mean reading the whole text. */
export function* safeFixing(a: Analysis, only?: string): Pieces<Fixed[]> {
  const found: Fixed[] = [];
  for (const finding of a.findings) {
    if (only !== undefined && finding.rule !== only) continue;
    const fix = fixesOf(a, finding).find(({ safe, edits }) => safe && edits.length > 0);
    if (fix) found.push({ finding, fix });
    yield;
  }
  return found;
}

function withoutOverlap(all: readonly Fixed[]): Fixed[] {
  const chosen: Fixed[] = [];
  let taken: Edit[] = [];
  // Each finding is compared with its neighbours only: findings, and mostly their edits, stand in the order of the text.
  for (const one of all) {
    const edits = one.fix.edits;
    if (edits.some((edit) => taken.some((other) => overlap(edit, other)))) continue;
    chosen.push(one);
    taken = [...taken.slice(-MOST_TRIES), ...edits];
  }
  return chosen;
}

/** The text with these fixes made and checked again; null where that adds a finding, or helps nothing. */
function* tried(a: Analysis, again: Again, fixed: readonly Fixed[]): Pieces<Analysis | null> {
  const edits = inOrder(fixed.flatMap(({ fix }) => fix.edits));
  if (edits.some((edit, i) => i > 0 && overlap(edit, edits[i - 1] as Edit))) return null;
  const next = yield* again(applyEdits(a.tree.text, edits));
  const before = countByRule(a.findings);
  const after = countByRule(next.findings);
  for (const [rule, count] of after) if (count > (before.get(rule) ?? 0)) return null;
  return next.findings.length < a.findings.length ? next : null;
}

function countByRule(findings: readonly Finding[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { rule } of findings) counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return counts;
}

import { check } from '../check/check.ts';
import { suppress } from '../check/suppress.ts';
import { RULES } from '../rules/all.ts';
import type { Rule, Severity, View } from '../rules/rule.ts';
import type { State } from '../simulate/state.ts';
import type { Role } from '../syntax/role.ts';
import { type ProgramContext, type ProgramPiece, viewOf } from './context.ts';
import type { ProgramFinding } from './report.ts';

/**
 * Rules that judge a line by what stood in other lines, beyond the state that the lines leave. They are run once, over
 * all lines that were kept; all other rules see each line with the state before it.
 */
export const OF_THE_WHOLE: ReadonlySet<string> = new Set([
  'after-end',
  'cold-extrusion',
  'cold-probing',
  'fan-while-heating',
  'flow-too-high',
  'hot-while-bed-warms',
  'level-lost',
  'no-feed',
  'not-awaited',
  'not-homed',
  'numbered-text',
  'stray-percent',
  'tool-not-picked',
  'unused-ignore',
  'wait-without-target',
]);

const IDS: ReadonlySet<string> = new Set(RULES.map(({ id }) => id));

/**
 * A rule that tells only what is so in any job. A finished program has one job, so that there is none to look for; and
 * looking would run the lines that were kept from the beginning of a role, not from the states that they have here.
 */
const certain = (rule: Rule): Rule => ({
  ...rule,
  check: (view, report) =>
    rule.check(view, (found) => {
      if ((found.certain ?? true) && (found.step?.certain ?? true)) report(found);
    }),
});

const EVERY: readonly Rule[] = RULES.map(certain);
const but = (test: (id: string) => boolean): readonly Rule[] => EVERY.filter(({ id }) => test(id));
// The worst flow is kept apart: a move of its own in a program of millions.
const FLOW = 'flow-too-high';

/** Which rules are to be run over some pieces. */
export type Which = 'line' | 'whole' | 'flow' | 'all';
const BY: Record<Which, readonly Rule[]> = {
  line: but((id) => !OF_THE_WHOLE.has(id)),
  whole: but((id) => OF_THE_WHOLE.has(id) && id !== FLOW),
  flow: but((id) => id === FLOW),
  all: but((id) => id !== FLOW),
};

/** A finding at its place in the program. */
export type Placed = Omit<ProgramFinding, 'count'>;

/** What rules say of pieces. `ignores`: rules that a comment switches off for the whole program. */
export function findingsOf(
  context: ProgramContext,
  pieces: readonly ProgramPiece[],
  start: State,
  which: Which,
  ignores: ReadonlySet<string>,
  role: Role = 'program',
): Placed[] {
  if (pieces.length === 0) return [];
  const found: Placed[] = [];
  tellOf(viewOf(context, pieces, start, role), pieces, which, ignores, (_, placed) => found.push(placed()));
  return found;
}

/** Hands on what rules say in a view of pieces, in the order of the text; its place is worked out where it is asked for. */
export function tellOf(
  view: View,
  pieces: readonly ProgramPiece[],
  which: Which,
  ignores: ReadonlySet<string>,
  tell: (rule: string, placed: () => Placed) => void,
): void {
  const { findings, open } = check(view, view.role === 'program' ? BY[which] : EVERY);
  const left = suppress(view.tree, findings, { ids: IDS, open }).findings;
  const { text } = view.tree;
  let piece = 0;
  let begins = 0;
  for (const { rule, severity, span, message } of left) {
    // Whether a comment is of use only the run over everything tells.
    if (ignores.has(rule) || (which === 'line' && rule === 'unused-ignore')) continue;
    for (;;) {
      const now = pieces[piece];
      if (!now || span.start < begins + now.text.length || piece + 1 >= pieces.length) break;
      begins += now.text.length;
      piece++;
    }
    const at = pieces[piece];
    const from = begins;
    if (at)
      tell(rule, () => ({ rule, severity, message, ...placeIn(at, text.slice(from, Math.max(from, span.start))) }));
  }
}

const ROW = /\r\n|\r|\n/g;
const encoder = new TextEncoder();

/** The place behind `before`, the text of a piece up to there. */
function placeIn(piece: ProgramPiece, before: string): { line: number; column: number; offset: number } {
  let rows = 0;
  let start = 0;
  for (const match of before.matchAll(ROW)) {
    rows++;
    start = match.index + match[0].length;
  }
  return {
    line: piece.line + rows,
    column: before.length - start + 1,
    offset: piece.offset + encoder.encode(before).length,
  };
}

/** Counts findings and keeps the first few of each rule. */
export interface Collector {
  add(finding: Placed): void;
  /** The same, where a place need not be worked out of what is counted only. */
  tell(rule: string, placed: () => Placed): void;
  /** Counts more of a rule without their places. */
  more(rule: string, times: number): void;
  count(rule: string): number;
  /** At one place, what is about the bytes stands before what rules say of them. */
  result(): { readonly findings: ProgramFinding[]; readonly counts: Record<string, number> };
}

/** @param keep How many of each rule. */
export function collector(keep: number): Collector {
  const counts = new Map<string, number>();
  const kept = new Map<string, Placed[]>();
  const more = (rule: string, times: number): void => {
    counts.set(rule, (counts.get(rule) ?? 0) + times);
  };
  const tell = (rule: string, placed: () => Placed): void => {
    more(rule, 1);
    const own = kept.get(rule) ?? [];
    if (own.length < keep) own.push(placed());
    kept.set(rule, own);
  };
  return {
    add: (finding) => tell(finding.rule, () => finding),
    tell,
    more,
    count: (rule) => counts.get(rule) ?? 0,
    result() {
      const findings = [...kept.values()]
        .flat()
        .map((finding) => ({ ...finding, count: counts.get(finding.rule) ?? 0 }))
        .sort((a, b) => a.offset - b.offset || Number(IDS.has(a.rule)) - Number(IDS.has(b.rule)));
      return { findings, counts: Object.fromEntries(counts) };
    },
  };
}

/** A finding that no rule of the engine makes: about the bytes themselves. */
export const aboutBytes = (
  rule: string,
  severity: Severity,
  line: number,
  column: number,
  offset: number,
  message: string,
): Placed => ({ rule, severity, line, column, offset, message });

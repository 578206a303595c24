import { analyze } from '../service/analyze.ts';
import type { State } from '../simulate/state.ts';
import type { ProgramContext, ProgramPiece } from './context.ts';
import { afterLastPush, type FastState } from './fastState.ts';
import { findingsOf, type Placed } from './findings.ts';
import type { ProgramFinding, ProgramPart } from './report.ts';
import { isIdle } from './rows.ts';
import { CONTINUES } from './slots.ts';

/** How much of the beginning and of the end of a program is kept as text, bytes. */
export const KEPT_TEXT = 1 << 18;

/** Told of a sequence alone, and settled by what stands in front of it in a program. */
const SETTLED: ReadonlySet<string> = new Set(['e-mode-unset', 'e-not-zeroed', 'unused-ignore']);

/** A start or an end of more lines than this, comments left out, is none that anybody wrote, and is not checked as one. */
const MOST_LINES = 2000;

/** Whether these whole lines are few enough to be checked as a sequence. */
function isShort(lines: Uint8Array): boolean {
  let rows = 0;
  for (let p = 0; p < lines.length; p++) {
    if (!isIdle(lines, p) && ++rows > MOST_LINES) return false;
    while (p < lines.length && lines[p] !== 10 && lines[p] !== 13) p++;
  }
  return true;
}

const mm = (n: number): string => String(Math.round(n * 1000) / 1000);

/** The lines before the print begins. `head`: the program's first bytes. */
export function startOf(context: ProgramContext, fast: FastState, head: Uint8Array): ProgramPart | null {
  const { group, groupLine, groupStart, groupZ } = fast;
  if (group === 0 || groupLine < 2) return null;
  const goesOn =
    group >= CONTINUES
      ? `${CONTINUES} lines and more follow it without a lift, homing, heating or a change of modes`
      : 'nothing after it prepares anything more';
  const own = head.subarray(0, groupStart);
  const text = groupStart <= head.length && isShort(own) ? new TextDecoder().decode(own) : null;
  const piece = { text: text ?? '', line: 1, offset: 0 };
  return {
    from: 1,
    to: groupLine - 1,
    reason: `Line ${groupLine} lays the first plastic of the print, at Z ${mm(groupZ)}: ${goesOn}.`,
    findings: text === null ? null : counted(inText(filled(context), piece)),
  };
}

/** With words that fit lines which were filled in long ago. */
const filled = (context: ProgramContext): ProgramContext => ({
  ...context,
  vocabulary: { ...context.vocabulary, filled: true },
});

/** The rules of a start sequence on the lines alone. */
function inText({ machine, vocabulary }: ProgramContext, { text }: Pick<ProgramPiece, 'text'>): Placed[] {
  const starts = [0];
  for (const match of text.matchAll(/\r\n|\r|\n/g)) starts.push(match.index + match[0].length);
  let row = 0;
  // A finished program is one job: what other jobs would show is no matter.
  const found = analyze(text, 'start', machine, vocabulary).findings.filter(({ when }) => when === null);
  return found.map(({ rule, severity, message, span }) => {
    while ((starts[row + 1] ?? Number.POSITIVE_INFINITY) <= span.start) row++;
    const column = span.start - (starts[row] as number) + 1;
    return { rule, severity, message, line: row + 1, column, offset: span.start };
  });
}

/** The lines behind the last plastic. `tail`: the program's last bytes, of which `base` stand in front. */
export function endOf(
  context: ProgramContext,
  fast: FastState,
  lines: number,
  tail: Uint8Array,
  base: number,
  start: State,
): ProgramPart | null {
  const begin = afterLastPush(fast);
  if (!begin || fast.pushLine >= lines) return null;
  const reason = `Line ${fast.pushLine} lays the last plastic of the program, at Z ${mm((begin.at.z?.lo ?? 0) + (begin.offset.z?.lo ?? 0))}.`;
  const part = { from: fast.pushLine + 1, to: lines, reason };
  if (fast.pushStart < base) return { ...part, findings: null };
  let from = fast.pushStart - base;
  while (from < tail.length && tail[from] !== 10 && tail[from] !== 13) from++;
  from += tail[from] === 13 && tail[from + 1] === 10 ? 2 : 1;
  const own = tail.subarray(from);
  if (!isShort(own)) return { ...part, findings: null };
  const text = new TextDecoder().decode(own);
  const piece: ProgramPiece = {
    text,
    line: part.from,
    offset: base + from,
    lines: lines - fast.pushLine,
    begin,
    motion: begin.motion,
    number: 0,
  };
  const found = findingsOf(filled(context), [piece], begin ?? start, 'all', new Set(), 'end');
  return { ...part, findings: counted(found.filter(({ rule }) => !SETTLED.has(rule))) };
}

function counted(found: readonly Placed[]): ProgramFinding[] {
  const counts = new Map<string, number>();
  for (const { rule } of found) counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return found.map((finding) => ({ ...finding, count: counts.get(finding.rule) ?? 0 }));
}

import type { Machine } from '../machine/machine.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { contextOf } from './context.ts';
import { collector } from './findings.ts';
import { MOST_KEPT } from './kept.ts';
import { endOf, KEPT_TEXT, startOf } from './parts.ts';
import type { ProgramCheck, ProgramOptions, ProgramReport } from './report.ts';
import { newRun } from './run.ts';
import { roomFor, splitter } from './split.ts';
import { newStore } from './store.ts';
import { bytesOf } from './textBytes.ts';
import { totalsOf } from './totals.ts';

export type {
  ProgramCheck,
  ProgramExtent,
  ProgramFinding,
  ProgramOptions,
  ProgramPart,
  ProgramReport,
  ProgramTotals,
} from './report.ts';

const KEEP = 10;
const CONFIRM = 50;
const LONGEST = 1 << 20;

/**
 * Checks a finished program as its bytes come, with all rules that apply to programs, as `analyze` does. Pure; nothing
 * is thrown, whatever the bytes are, and memory does not grow with the program.
 */
export function checkProgram(
  machine: Machine | null,
  vocabulary: Vocabulary,
  { keep = KEEP, confirm = CONFIRM, longest = LONGEST, part = MOST_KEPT, parsed, material }: ProgramOptions = {},
): ProgramCheck {
  const context = contextOf(machine, vocabulary, parsed);
  const found = collector(keep);
  const store = newStore(roomFor(longest, KEPT_TEXT));
  const run = newRun(context, found, store, { confirm, longest, part });
  const split = splitter(run, store, longest, KEPT_TEXT);
  const bytes = bytesOf(found, run.fast, (chunk) => split.push(chunk));
  let report: ProgramReport | null = null;
  return {
    push(chunk) {
      if (!report) bytes.push(chunk);
    },
    end() {
      if (report) return report;
      bytes.end();
      split.end();
      run.finish();
      const { findings, counts } = found.result();
      const lines = run.fast.line - 1;
      const { tail, base } = split.tail();
      report = {
        lines,
        bytes: bytes.size(),
        findings: findings.filter(({ rule }) => !run.ignores.has(rule)),
        counts: Object.fromEntries(Object.entries(counts).filter(([rule]) => !run.ignores.has(rule))),
        totals: totalsOf(run.sums, run.fast, run.lacking, machine, material),
        start: startOf(context, run.fast, bytes.head()),
        end: endOf(context, run.fast, lines, tail, base),
        fastLines: run.fast.fastLines,
      };
      return report;
    },
    state: () => run.state(),
  };
}

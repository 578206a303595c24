import type { Bounds, Known } from '../placeholders/bounds.ts';
import { machinePosition } from '../simulate/motion.ts';
import type { Extent } from '../simulate/state.ts';
import type { Trace } from '../simulate/trace.ts';
import type { LineIndex } from '../text/lines.ts';
import type { Span } from '../text/span.ts';
import type { FileReport } from './report.ts';

/** The reports as one JSON object, as docs/json-report.md says. Programs read it: `version` grows when its shape changes. */
export function toJson(reports: readonly FileReport[]): string {
  return `${JSON.stringify({ version: 2, files: reports.map(fileToJson) }, null, 2)}\n`;
}

function fileToJson({ path, role, machine, findings, lines, trace, verdict, fixes, fixed }: FileReport) {
  return {
    path,
    role,
    machine,
    findings: findings.map((finding) => ({
      rule: finding.rule,
      severity: finding.severity,
      ...place(finding.span, lines),
      message: finding.message,
      when: finding.when,
      related: (finding.related ?? []).map(({ span, message }) => ({ ...place(span, lines), message })),
      fixes: fixes(finding).map(({ title, safe }) => ({ title, automatic: safe })),
    })),
    ...(fixed ? { fixed } : {}),
    summary: trace && { ...summary(trace, lines), verdict },
  };
}

/** Lines and columns count from 1, columns in UTF-16 code units; the end is the place behind the last character. */
function place(span: Span, lines: LineIndex) {
  const start = lines.position(span.start);
  const end = lines.position(span.end);
  return { line: start.line + 1, column: start.character + 1, endLine: end.line + 1, endColumn: end.character + 1 };
}

function summary({ end, totals }: Trace, lines: LineIndex) {
  const position = machinePosition(end);
  return {
    lines: rowCount(lines),
    moves: totals.moves,
    end: { x: number(position.x), y: number(position.y), z: number(position.z) },
    extent: extent(totals.extent),
    extruded: isEmpty(totals.extruded) ? null : extent(totals.extruded),
    length: { travel: number(totals.travel), extruding: number(totals.extruding) },
    filament: number(totals.filament),
    seconds: number(totals.seconds),
    hottest: { nozzle: number(totals.hottest.nozzle), bed: number(totals.hottest.bed) },
  };
}

/** An end of line at the very end opens no further line. */
function rowCount({ count, start, end }: LineIndex): number {
  return start(count - 1) === end(count - 1) ? count - 1 : count;
}

const isEmpty = ({ x, y, z }: Extent): boolean => !x && !y && !z;
const extent = ({ x, y, z }: Extent) => ({ x: range(x), y: range(y), z: range(z) });

/** [lo, hi]; an end without a known limit is null, since JSON has no infinity. */
const range = (b: Bounds | null) => b && [round(b.lo), round(b.hi)];
/** An exact number as such, bounds as [lo, hi], unknown as null. */
const number = (k: Known) => (k && k.lo === k.hi ? round(k.lo) : range(k));

/** To a millionth: what is beyond comes from floating point. */
function round(n: number): number | null {
  if (!Number.isFinite(n)) return null;
  return Math.abs(n) < 1e15 ? Math.round(n * 1e6) / 1e6 + 0 : n;
}

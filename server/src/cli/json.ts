import type { Chosen } from './choose.ts';
import type { FileReport } from './report.ts';

/** The reports as one JSON object, as docs/json-report.md says. Programs read it: `version` grows when its shape changes. */
export function toJson(reports: readonly Chosen[]): string {
  const left = reports.reduce((sum, one) => sum + one.left, 0);
  const files = reports.map(({ told }) => fileToJson(told));
  return `${JSON.stringify({ version: 5, files, ...(left > 0 ? { left } : {}) }, null, 2)}\n`;
}

function fileToJson({ path, entry, role, machine, findings, fixed, summary, program }: FileReport) {
  return {
    path,
    ...(entry === null ? {} : { entry }),
    role,
    machine,
    findings: findings.map((one) => ({
      rule: one.rule,
      severity: one.severity,
      line: one.line,
      column: one.column,
      endLine: one.endLine,
      endColumn: one.endColumn,
      message: one.message,
      when: one.when,
      related: one.related,
      fixes: one.fixes,
      ...(one.fixesLeftOut ? { fixesLeftOut: true } : {}),
      ...(program ? { count: one.count } : {}),
    })),
    ...(fixed ? { fixed } : {}),
    summary,
    ...(program ? { program: programJson(program) } : {}),
  };
}

/** Findings stand beside it, and which lines took the fast path is nobody's matter. */
export function programJson(program: NonNullable<FileReport['program']>) {
  const { lines, bytes, counts, totals } = program;
  const part = (one: typeof program.start) => one && { from: one.from, to: one.to, reason: one.reason };
  return { lines, bytes, counts, totals, start: part(program.start), end: part(program.end) };
}

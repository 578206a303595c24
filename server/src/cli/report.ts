import type { Open } from '../check/check.ts';
import type { Verdict } from '../check/verdict.ts';
import type { ProgramReport } from '../program/report.ts';
import { RULES } from '../rules/all.ts';
import type { Finding, Severity, When } from '../rules/rule.ts';
import type { NotFollowed } from '../service/notFollowed.ts';
import type { Trace } from '../simulate/trace.ts';
import type { Role } from '../syntax/role.ts';
import type { LineIndex } from '../text/lines.ts';
import type { Span } from '../text/span.ts';
import { type Excerpt, excerptOf } from './excerpt.ts';
import { type Summary, summaryOf } from './summaryOf.ts';

/** Lines and columns count from 1, columns in UTF-16 code units; the end is the place behind the last character. */
export interface ReportPlace {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export interface ToldFinding extends ReportPlace {
  readonly rule: string;
  readonly severity: Severity;
  readonly message: string;
  readonly when: When | null;
  /** How often the rule found it in the whole text; more than 1 only in streamed programs. */
  readonly count: number;
  readonly related: readonly (ReportPlace & { readonly message: string })[];
  readonly fixes: readonly { readonly title: string; readonly automatic: boolean }[];
  /** They were not worked out: the findings before it took all the work that a text may take. */
  readonly fixesLeftOut: boolean;
  /** Bytes from the beginning of a program that was streamed; null elsewhere. */
  readonly offset: number | null;
  /** The source line; null where it is not kept. */
  readonly excerpt: Excerpt | null;
}

/** What the rules could neither show to hold nor to fail. */
export interface ToldOpen extends ReportPlace {
  readonly rule: string;
  /** The rule's own. */
  readonly severity: Severity;
  readonly message: string;
  readonly excerpt: Excerpt | null;
}

/** One fix that was made. */
export interface FixedRow {
  readonly rule: string;
  readonly title: string;
  /** Counted from 1, in the text as it was when the fix was made. */
  readonly line: number;
  readonly column: number;
}

/** One text as checked, as plain data that can go from one thread to another: what every format prints. */
export interface FileReport {
  /** As the person wrote it. */
  readonly path: string;
  /** Name of the entry, where the text lies in a package. */
  readonly entry: string | null;
  /** null for a machine or vocabulary file. */
  readonly role: Role | null;
  /** The machine's name; null where none is known. */
  readonly machine: string | null;
  /** Something that the person should know and that is no finding, such as that no machine was found. */
  readonly note: string | null;
  readonly findings: readonly ToldFinding[];
  readonly undecided: readonly ToldOpen[];
  /** What --fix has done, in the order of the doing; null where it was not asked for. The findings are those that remain. */
  readonly fixed: readonly FixedRow[] | null;
  /** null for a machine or vocabulary file, and for a program that was streamed. */
  readonly summary: Summary | null;
  /** null for all but programs. */
  readonly program: ProgramReport | null;
  /** What its tags have that Bookend cannot follow, which is told in the vocabulary file. Absent: nothing. */
  readonly notFollowed?: readonly NotFollowed[];
}

/** What was checked in one piece. */
export interface Whole {
  readonly path: string;
  readonly entry: string | null;
  readonly text: string;
  readonly lines: LineIndex;
  readonly role: Role | null;
  readonly machine: string | null;
  readonly findings: readonly Finding[];
  readonly undecided: readonly Open[];
  readonly trace: Trace | null;
  readonly verdict: Verdict | null;
  readonly note: string | null;
  /** What can be done about one of the findings; reckoned when asked. */
  fixes(finding: Finding): readonly { readonly title: string; readonly safe: boolean }[];
  /** Commands and tags that working out the fixes of one finding may go through. */
  readonly fixWork: number;
  readonly fixed: readonly FixedRow[] | null;
  readonly notFollowed?: readonly NotFollowed[];
}

/**
 * Commands and tags that are gone through for the fixes of all findings of a text; a sequence of 300 lines would need
 * ten thousand findings to reach it. What is left out then are the fixes of the findings further down, never a finding.
 */
export const MOST_FIX_WORK = 5_000_000;

/** A text that was checked in one piece as plain data. `withFixes`: whether what can be done is reckoned, too. */
export function toldOf(whole: Whole, withFixes: boolean): FileReport {
  const { path, entry, role, machine, note, fixed, text, lines, trace, verdict } = whole;
  const at = (span: Span) => ({ ...placeOf(span, lines), excerpt: excerptOf(text, lines, span) });
  let left = MOST_FIX_WORK;
  const fixesOf = (finding: Finding): Pick<ToldFinding, 'fixes' | 'fixesLeftOut'> => {
    if (!withFixes || left <= 0) return { fixes: [], fixesLeftOut: withFixes };
    left -= whole.fixWork;
    const fixes = whole.fixes(finding).map(({ title, safe }) => ({ title, automatic: safe }));
    return { fixes, fixesLeftOut: false };
  };
  return {
    path,
    entry,
    role,
    machine,
    note,
    fixed,
    findings: whole.findings.map((finding) => ({
      rule: finding.rule,
      severity: finding.severity,
      message: finding.message,
      when: finding.when,
      count: 1,
      offset: null,
      related: (finding.related ?? []).map(({ span, message }) => ({ ...placeOf(span, lines), message })),
      ...fixesOf(finding),
      ...at(finding.span),
    })),
    undecided: whole.undecided.map(({ rule, span, message }) => ({
      rule,
      severity: RULES.find(({ id }) => id === rule)?.severity ?? 'error',
      message,
      ...at(span),
    })),
    summary: trace && verdict && summaryOf(trace, verdict, lines),
    program: null,
    ...(whole.notFollowed?.length ? { notFollowed: whole.notFollowed } : {}),
  };
}

/** How a text is named to a person: one in a package by both names. */
export const nameOf = ({ path, entry }: Pick<FileReport, 'path' | 'entry'>): string =>
  // What a gzip file holds need not have a name.
  entry === null || entry === '' ? path : `${path}(${entry})`;

function placeOf(span: Span, lines: LineIndex): ReportPlace {
  const start = lines.position(span.start);
  const end = lines.position(span.end);
  return { line: start.line + 1, column: start.character + 1, endLine: end.line + 1, endColumn: end.character + 1 };
}

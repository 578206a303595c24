import type { Open } from '../rules/check.ts';
import type { Finding, Fix } from '../rules/rule.ts';
import type { Verdict } from '../rules/verdict.ts';
import type { Trace } from '../simulate/trace.ts';
import type { Role } from '../syntax/role.ts';
import type { LineIndex } from '../text/lines.ts';

/** One file as checked: what both formats print. */
export interface FileReport {
  /** As the person wrote it. */
  readonly path: string;
  readonly text: string;
  readonly lines: LineIndex;
  /** null for a machine file. */
  readonly role: Role | null;
  /** The machine's name; null where none is known. */
  readonly machine: string | null;
  readonly findings: readonly Finding[];
  /** What the rules could neither show to hold nor to fail. */
  readonly undecided: readonly Open[];
  /** null for a machine file. */
  readonly trace: Trace | null;
  readonly verdict: Verdict | null;
  /** Something that the person should know and that is no finding, such as that no machine was found. */
  readonly note: string | null;
  /** What can be done about one of the findings; reckoned when asked. */
  fixes(finding: Finding): readonly Fix[];
  /** What --fix has done, in the order of the doing; null where it was not asked for. The findings are those that remain. */
  readonly fixed: readonly FixedRow[] | null;
}

/** One fix that was made. */
export interface FixedRow {
  readonly rule: string;
  readonly title: string;
  /** Counted from 1, in the text as it was when the fix was made. */
  readonly line: number;
  readonly column: number;
}

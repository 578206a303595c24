import { IN_PART } from '../check/part.ts';
import { IGNORE_WORD } from '../check/suppress.ts';
import { linesAbove } from '../rules/edits.ts';
import type { Edit, Finding } from '../rules/rule.ts';
import { lineAt } from '../syntax/at.ts';
import type { Analysis } from './analyze.ts';

/** A comment that switches a finding's rule off, here or in the whole text. The reason is the person's to write. */
export interface Ignore {
  readonly title: string;
  readonly edit: Edit;
}

/** What is said of such a comment itself, or of Bookend. */
const NEVER: ReadonlySet<string> = new Set(['unused-ignore', 'rule-failed', IN_PART]);

/** The comments that would switch this finding off, narrowest first. None for what is said of such a comment itself. */
export function ignoresFor(a: Analysis, { rule, span }: Finding): Ignore[] {
  if (NEVER.has(rule)) return [];
  const line = lineAt(a.tree, span.start);
  const end = line.span.end;
  // On a line without a command the comment above would count for the next command instead.
  const here: Edit =
    line.commands.length > 0
      ? linesAbove(a, span.start, [`; ${IGNORE_WORD}-next-line ${rule}`])
      : { span: { start: end, end }, text: `${line.span.start < end ? ' ' : ''}; ${IGNORE_WORD} ${rule}` };
  return [
    { title: `Ignore ${rule} on this line`, edit: here },
    { title: `Ignore ${rule} in this text`, edit: linesAbove(a, 0, [`; ${IGNORE_WORD}-file ${rule}`]) },
  ];
}

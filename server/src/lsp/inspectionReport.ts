import type { Machine, RuleSeverity } from '../machine/machine.ts';
import { countText } from '../packages/entry.ts';
import { ofPartsAlone, type ProgramFinding, type ProgramPart, type ProgramReport } from '../program/report.ts';
import { RULES } from '../rules/all.ts';
import type { InspectionAnswer, InspectionFinding, InspectionSeverity } from './inspectionMessages.ts';
import { totalsTable } from './inspectionTotals.ts';

/** How rules count, by their id: those that do not count as they are. */
export type InspectionSeverities = readonly (readonly [rule: string, severity: RuleSeverity])[];

/** What the report says beside what the check found. */
export interface InspectionContext {
  readonly machine: Machine | null;
  /** Why that machine, or none, in a sentence. */
  readonly reason: string;
  readonly severities: InspectionSeverities;
  /** Programs up to this many bytes are checked by the editor itself while they are open. */
  readonly small: number;
  /** URI of the folder with the reference pages; null: there is none. */
  readonly docs: string | null;
}

const ORDER: readonly InspectionSeverity[] = ['error', 'warning', 'info', 'hint'];
/** Of one rule so many places stand in the report; the rest is counted. */
const PLACES = 5;

/** One rule's findings, with the severity that counts. */
interface Group {
  readonly rule: string;
  readonly severity: InspectionSeverity;
  readonly count: number;
  readonly findings: readonly ProgramFinding[];
}

/**
 * A finished check as a text for people, and as findings.
 * @param written The program was also written out.
 * @param notes Sentences on what was checked beside the rules.
 */
export function tellInspection(
  context: InspectionContext,
  title: string,
  report: ProgramReport,
  written: boolean,
  notes: readonly (string | null)[] = [],
): InspectionAnswer {
  const groups = groupsOf(report.findings, context.severities, report.counts);
  const errors = countOf(groups, 'error');
  const warnings = countOf(groups, 'warning');
  const { machine, reason } = context;
  const rows = [
    title,
    `Checked as a whole program ${machine ? `on ${machine.name || 'the machine of its machine file'}` : 'without a machine'}. ${reason}`,
    ...notes.filter((note) => note !== null),
    ...(written ? [`Written out as it was checked: ${countText(report.bytes)} bytes.`] : []),
    '',
    `Found: ${several(errors, 'error')}, ${several(warnings, 'warning')}, ${several(countOf(groups, 'info') + countOf(groups, 'hint'), 'remark')}.`,
    ...(groups.length === 0
      ? [
          'Bookend’s rules found nothing in it; they replace neither the machine’s manual nor watching the first layers.',
        ]
      : []),
    ...groups.flatMap(groupRows),
    '',
    'What it does',
    ...totalsTable(report).map(([name, value]) => `  ${name.padEnd(18)} ${value}`),
    ...partRows('Start sequence', report.start, 'Where it ends was not found.', context.severities),
    ...partRows('End sequence', report.end, 'Where it begins was not found.', context.severities),
  ];
  const all = [...groups, ...groupsOf(ofPartsAlone(report, report.findings), context.severities, null)];
  return {
    kind: 'report',
    title,
    text: `${rows.map(wrapped).join('\n')}\n`,
    findings: all.flatMap((group) => group.findings.map((finding) => toFinding(finding, group, context.docs))),
    errors,
    warnings,
    small: report.bytes <= context.small,
    written: written ? report.bytes : null,
  };
}

/** Longest row of a report, where words allow it. UTF-16 code units. */
const WIDTH = 88;

/** Continues a long row below, further in than it begins. */
function wrapped(row: string): string {
  if (row.length <= WIDTH) return row;
  const indent = `${/^ */.exec(row)?.[0] ?? ''}    `;
  const rows: string[] = [];
  let current = '';
  for (const word of row.split(/(?<=\S) /)) {
    const longer = current === '' ? word : `${current} ${word}`;
    if (longer.length > WIDTH && current.trim() !== '') {
      rows.push(current);
      current = `${indent}${word}`;
    } else current = longer;
  }
  return [...rows, current].join('\n');
}

/** The findings by rule, the gravest first; none of the rules that are off. */
function groupsOf(
  findings: readonly ProgramFinding[],
  severities: InspectionSeverities,
  counts: Readonly<Record<string, number>> | null,
): Group[] {
  const own = new Map(severities);
  const byRule = new Map<string, ProgramFinding[]>();
  for (const finding of findings) byRule.set(finding.rule, [...(byRule.get(finding.rule) ?? []), finding]);
  const groups = [...byRule].flatMap(([rule, list]): Group[] => {
    const severity = own.get(rule) ?? list[0]?.severity ?? 'error';
    return severity === 'off' ? [] : [{ rule, severity, findings: list, count: counts?.[rule] ?? list.length }];
  });
  return groups.sort((a, b) => ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity));
}

const countOf = (groups: readonly Group[], severity: InspectionSeverity): number =>
  groups.reduce((sum, group) => sum + (group.severity === severity ? group.count : 0), 0);

const several = (count: number, what: string): string => `${countText(count)} ${what}${count === 1 ? '' : 's'}`;

function groupRows({ rule, severity, count, findings }: Group): string[] {
  const shown = findings.slice(0, PLACES);
  const title = RULES.find(({ id }) => id === rule)?.title;
  const rest = count - shown.length;
  return [
    '',
    `${severity}  ${rule}${title ? `: ${title}` : ''}${count > 1 ? ` (${countText(count)} times)` : ''}`,
    ...shown.map(placeRow),
    ...(rest > 0 ? [`  … and ${countText(rest)} more`] : []),
  ];
}

const placeRow = ({ line, column, message }: ProgramFinding): string => `  line ${line}, column ${column}: ${message}`;

function partRows(name: string, part: ProgramPart | null, none: string, severities: InspectionSeverities): string[] {
  if (!part) return ['', name, `  ${none}`];
  const groups = groupsOf(part.findings ?? [], severities, null);
  const verdict =
    part.findings === null
      ? '  It is too long to be checked as a sequence by itself.'
      : groups.length === 0
        ? '  The rules for such a sequence found nothing in it.'
        : null;
  return [
    '',
    `${name}: line ${part.from} to line ${part.to}`,
    `  ${part.reason}`,
    ...(verdict
      ? [verdict]
      : groups.flatMap(({ rule, severity, findings }) =>
          findings.slice(0, PLACES).map((finding) => `  ${severity}  ${rule}, ${placeRow(finding).trim()}`),
        )),
  ];
}

const toFinding = (
  { line, column, message }: ProgramFinding,
  { rule, severity, count }: Group,
  docs: string | null,
): InspectionFinding => ({
  ...{ rule, severity, line, column },
  message: count > 1 ? `${message} (${countText(count)} such places in all)` : message,
  page: docs !== null && RULES.some(({ id }) => id === rule) ? `${docs}/rules/${rule}.md` : null,
});

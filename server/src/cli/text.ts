import type { Severity } from '../rules/rule.ts';
import { type Chosen, countOf } from './choose.ts';
import type { Excerpt } from './excerpt.ts';
import { RULE_LEVELS } from './levels.ts';
import { grouped, plain, plural } from './plain.ts';
import { type FileReport, nameOf, type ReportPlace } from './report.ts';

/** `undecided` is no severity: no job shows it, and nothing shows that none does. Said, never hidden. */
type Kind = Severity | 'undecided';

const COLOR: Record<Kind, number> = { error: 31, warning: 33, info: 36, hint: 90, undecided: 35 };

/** How a report looks. */
export interface Look {
  readonly color: boolean;
  /** Findings and nothing else. */
  readonly quiet: boolean;
}

type Paint = (code: number, text: string) => string;

const painter =
  ({ color }: Look): Paint =>
  (code, text) =>
    color ? `\u001b[${code}m${text}\u001b[0m` : text;

/** The findings of one file as compilers print them, each with its source line; '' where there is nothing to say. */
export function toText({ told }: Chosen, look: Look): string {
  const paint = painter(look);
  const name = plain(nameOf(told));
  const rows: string[] = [];
  for (const { rule, title, line, column } of told.fixed ?? [])
    rows.push(`${paint(1, `${name}:${line}:${column}`)}: ${paint(32, 'fixed')} ${rule}: ${plain(title)}`);
  if (told.note && !look.quiet) rows.push(`${name}: note: ${plain(told.note)}`);
  for (const finding of told.findings) {
    rows.push(placeText(name, finding, finding.severity, paint));
    for (const { line, column, message } of finding.related)
      rows.push(`${paint(1, `${name}:${line}:${column}`)}: note: ${plain(message)}`);
  }
  for (const open of told.undecided) {
    const message = `The bounds allow this, and no job was found that shows it. Should it happen: ${open.message}`;
    rows.push(placeText(name, { ...open, message }, 'undecided', paint));
  }
  for (const { rule, count, line } of oftenFound(told))
    rows.push(`${name}: note: ${rule}: ${grouped(count)} in all, the first at line ${grouped(line)}.`);
  return rows.map((row) => `${row}\n`).join('');
}

/** Rules that found more than is told with its place. */
function oftenFound({ findings }: FileReport): { rule: string; count: number; line: number }[] {
  const rules = new Map<string, { rule: string; count: number; line: number; shown: number }>();
  for (const { rule, count, line } of findings) {
    const before = rules.get(rule);
    rules.set(rule, { rule, count, line: before?.line ?? line, shown: (before?.shown ?? 0) + 1 });
  }
  return [...rules.values()].filter(({ count, shown }) => count > shown);
}

function placeText(
  name: string,
  one: ReportPlace & { readonly rule: string; readonly message: string; readonly excerpt: Excerpt | null },
  kind: Kind,
  paint: Paint,
): string {
  const place = `${name}:${one.line}:${one.column}`;
  const first = `${paint(1, place)}: ${paint(COLOR[kind], kind)} ${one.rule}: ${plain(one.message)}`;
  if (!one.excerpt) return first;
  const { shown, before, marked } = one.excerpt;
  const gutter = String(one.line);
  // Tabs stay tabs under the source line, so that the mark stands where the eye expects it.
  const indent = shown.slice(0, before).replace(/[^\t]/g, ' ');
  const caret = paint(COLOR[kind], '^'.repeat(marked));
  const blank = ' '.repeat(gutter.length);
  return `${first}\n  ${paint(90, `${gutter} |`)} ${shown}\n  ${paint(90, `${blank} |`)} ${indent}${caret}`;
}

/** The closing count. Counts everything, told or not. `left`: how many findings were not told. */
export function countText(reports: readonly FileReport[], left: number): string {
  const kinds = RULE_LEVELS.map((severity) => ({
    severity,
    found: reports.reduce((sum, report) => sum + countOf(report, severity), 0),
  }))
    .filter(({ found, severity }) => found > 0 || severity === 'error' || severity === 'warning')
    .map(({ severity, found }) => plural(found, severity, severity === 'info' ? 'infos' : `${severity}s`));
  const undecided = reports.reduce((sum, report) => sum + report.undecided.length, 0);
  if (undecided > 0) kinds.push(`${grouped(undecided)} undecided`);
  const fixed = reports.some((report) => report.fixed)
    ? `; ${reports.reduce((sum, report) => sum + (report.fixed?.length ?? 0), 0)} fixed`
    : '';
  const silent = left > 0 ? `; ${grouped(left)} not told` : '';
  return `${kinds.join(', ')} in ${plural(reports.length, 'file', 'files')}${fixed}${silent}.\n`;
}

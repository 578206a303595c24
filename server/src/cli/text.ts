import type { Open } from '../rules/check.ts';
import type { Severity } from '../rules/rule.ts';
import type { FileReport } from './report.ts';

/** `undecided` is no severity: no job shows it, and nothing shows that none does. Said, never hidden. */
type Kind = Severity | 'undecided';

const COLOR: Record<Kind, number> = { error: 31, warning: 33, info: 36, hint: 90, undecided: 35 };

/** The findings as compilers print them, each with its source line, and a closing count. */
export function toText(reports: readonly FileReport[], color: boolean): string {
  const paint = (code: number, text: string): string => (color ? `\u001b[${code}m${text}\u001b[0m` : text);
  const parts: string[] = [];
  for (const report of reports) {
    for (const { rule, title, line, column } of report.fixed ?? [])
      parts.push(
        `${paint(1, `${plain(report.path)}:${line}:${column}`)}: ${paint(32, 'fixed')} ${rule}: ${plain(title)}`,
      );
    if (report.note) parts.push(`${plain(report.path)}: note: ${plain(report.note)}`);
    for (const finding of report.findings) {
      parts.push(placeText(report, finding, finding.severity, paint));
      for (const { span, message } of finding.related ?? []) {
        const { line, character } = report.lines.position(span.start);
        parts.push(`${paint(1, `${plain(report.path)}:${line + 1}:${character + 1}`)}: note: ${plain(message)}`);
      }
    }
    for (const open of report.undecided) {
      const message = `The bounds allow this, and no job was found that shows it. Should it happen: ${open.message}`;
      parts.push(placeText(report, { ...open, message }, 'undecided', paint));
    }
  }
  return `${[...parts, count(reports)].join('\n')}\n`;
}

type Paint = (code: number, text: string) => string;

function placeText({ path, text, lines }: FileReport, { rule, span, message }: Open, kind: Kind, paint: Paint): string {
  const { line, character } = lines.position(span.start);
  const place = `${plain(path)}:${line + 1}:${character + 1}`;
  const first = `${paint(1, place)}: ${paint(COLOR[kind], kind)} ${rule}: ${plain(message)}`;
  const row = text.slice(lines.start(line), lines.end(line));
  const length = Math.min(span.end, lines.end(line)) - span.start;
  const { shown, before, marked } = excerpt(row, character, length);
  const gutter = String(line + 1);
  // Tabs stay tabs under the source line, so that the mark stands where the eye expects it.
  const indent = shown.slice(0, before).replace(/[^\t]/g, ' ');
  const caret = paint(COLOR[kind], '^'.repeat(marked));
  const blank = ' '.repeat(gutter.length);
  return `${first}\n  ${paint(90, `${gutter} |`)} ${shown}\n  ${paint(90, `${blank} |`)} ${indent}${caret}`;
}

/** Characters of a source line that are shown at most; a program in one line has millions. */
const WIDEST = 120;
const BEFORE = 40;

function excerpt(row: string, at: number, length: number): { shown: string; before: number; marked: number } {
  const from = row.length <= WIDEST ? 0 : Math.max(0, Math.min(at - BEFORE, row.length - WIDEST));
  const to = Math.min(row.length, from + WIDEST);
  const head = from > 0 ? '…' : '';
  const shown = `${head}${plain(row.slice(from, to))}${to < row.length ? '…' : ''}`;
  const marked = Math.max(1, Math.min(length, to - at));
  return { shown, before: at - from + head.length, marked };
}

/** Without control characters: a terminal would act on them, and the text comes from anywhere. Same length. */
export const plain = (text: string): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
  text.replace(/[\u0000-\u0008\u000a-\u001f\u007f-\u009f\u2028\u2029]/g, '\ufffd');

function count(reports: readonly FileReport[]): string {
  const findings = reports.flatMap((report) => report.findings);
  const kinds = (['error', 'warning', 'info', 'hint'] as const)
    .map((severity) => ({ severity, found: findings.filter((f) => f.severity === severity).length }))
    .filter(({ found, severity }) => found > 0 || severity === 'error' || severity === 'warning')
    .map(({ severity, found }) => plural(found, severity, severity === 'info' ? 'infos' : `${severity}s`));
  const undecided = reports.reduce((sum, report) => sum + report.undecided.length, 0);
  if (undecided > 0) kinds.push(`${undecided} undecided`);
  const fixed = reports.some((report) => report.fixed)
    ? `; ${reports.reduce((sum, report) => sum + (report.fixed?.length ?? 0), 0)} fixed`
    : '';
  return `${kinds.join(', ')} in ${plural(reports.length, 'file', 'files')}${fixed}.`;
}

const plural = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

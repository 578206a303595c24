import type { Line, Tag } from '../syntax/nodes.ts';
import { MOST_PROBLEMS } from '../syntax/problems.ts';
import { changeBetween, type Edit } from '../text/edit.ts';
import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { type Span, slice } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { formatLine, type LineText } from './formatLine.ts';

/** Characters that RS-274 allows a line (NISTIR 6556 3.3), where the machine does not say. */
const STANDARD = 256;
/** Bodies longer than this do not push the comments of their neighbours to the right. */
const LONGEST_BODY = 60;

/** A text as far as formatting goes: no run, no rules. */
export type FormattedText = Pick<Analysis, 'tree' | 'bound' | 'machine'>;

/**
 * The edits that write a text evenly: see `formatLine`; trailing comments of lines that follow one another stand in one
 * column (see `columnOf`). What the text does stays the same. Lines with a line number or checksum, with a problem or over several rows
 * stay as they are, and so do those that would become longer than the controller reads.
 * @param within Only lines that this stretch touches are changed; default: all.
 */
export const format = (a: FormattedText, within?: Span): Edit[] => finish(formatting(a, within));

/** The same in pieces. */
export function* formatting(a: FormattedText, within: Span = { start: 0, end: a.tree.text.length }): Pieces<Edit[]> {
  const pace = new Pace();
  const { text, lines, problems } = a.tree;
  // Where too many problems were found, the others are not known.
  if (problems.length >= MOST_PROBLEMS) return [];
  const most = a.machine?.controller.longestLine ?? STANDARD;
  const edits: Edit[] = [];
  const write = (line: Line, written: string): void => {
    const { start, end } = line.span;
    if (end < within.start || start > within.end) return;
    if (written.length > most && written.length > end - start) return;
    // CR, a blank row and LF are two ends of line; without the blanks they would be one.
    if (written === '' && text.charCodeAt(start - 1) === 13 && text.charCodeAt(end) === 10) return;
    const edit = changeBetween(slice(text, line.span), written);
    if (edit) edits.push({ span: { start: edit.span.start + start, end: edit.span.end + start }, text: edit.text });
  };
  let run: { readonly line: Line; readonly to: LineText }[] = [];
  const writeRun = (): void => {
    const column = columnOf(
      run.map(({ to }) => to),
      most,
    );
    for (const { line, to } of run) {
      const rest = column - to.body.length;
      const blanks = rest < 1 || column + to.comment.length > most ? 1 : rest;
      write(line, to.body + ' '.repeat(blanks) + to.comment);
    }
    run = [];
  };
  const formatted = yield* formatLines(a);
  for (const line of lines) {
    if (pace.due()) yield;
    const to = formatted[line.index] ?? null;
    if (to?.comment) run.push({ line, to });
    else {
      writeRun();
      if (to) write(line, to.body);
    }
  }
  writeRun();
  return edits;
}

/**
 * Where the comments of lines that follow one another belong: where they stand, if that is one column already, else one
 * blank behind the longest of the bodies. A line that would become too long has no say.
 */
function columnOf(run: readonly LineText[], most: number): number {
  let least = 1;
  let now = 0;
  for (const { body, column } of run) {
    if (body.length > LONGEST_BODY) continue;
    least = Math.max(least, body.length + 1);
    now = Math.max(now, column);
  }
  const having = run.filter(({ body, comment }) => body.length <= LONGEST_BODY && now + comment.length <= most);
  return now >= least && having.length > 0 && having.every(({ column }) => column === now) ? now : least;
}

/** By the line's index; null: it stays as it is. */
function* formatLines(a: FormattedText): Pieces<(LineText | null)[]> {
  const { text, lines, tags, problems } = a.tree;
  let tag = 0;
  let problem = 0;
  let badUntil = -1;
  const pace = new Pace();
  const texts: (LineText | null)[] = [];
  for (const line of lines) {
    if (pace.due(1 + line.commands.length)) yield;
    const own: Tag[] = [];
    for (let one = tags[tag]; one && one.span.start < line.span.end; one = tags[++tag]) own.push(one);
    for (let one = problems[problem]; one && one.span.start <= line.span.end; one = problems[++problem])
      badUntil = Math.max(badUntil, one.span.end);
    const stays = line.number || line.checksum || badUntil >= line.span.start || /[\r\n]/.test(slice(text, line.span));
    texts.push(stays ? null : formatLine(text, line, a.bound.on(line), own));
  }
  return texts;
}

import type { Edit } from '../text/edit.ts';
import { type Span, span } from '../text/span.ts';
import { ANSWER, ASK, GUESS } from './page.ts';

// What a person does with a draft: confirms a guess, which takes its remark away, or keeps one of the answers to a question.

/** One thing that can be done at a place of a draft. */
export interface DraftAction {
  readonly title: string;
  readonly is: 'confirm' | 'answer' | 'confirmAll';
  readonly edits: readonly Edit[];
}

interface Row extends Span {
  readonly text: string;
}

/** Whether a text is a draft with something left to confirm or to answer. */
export const isDraft = (text: string): boolean => text.includes(GUESS) || text.includes(ANSWER);

/** What can be done on the rows that a stretch of the draft touches. */
export function draftActions(text: string, at: Span): readonly DraftAction[] {
  if (!isDraft(text)) return [];
  const rows = rowsOf(text);
  const here = rows.flatMap((row, i) => (row.start <= at.end && row.end >= at.start ? [i] : []));
  const actions: DraftAction[] = [];
  for (const i of here) {
    const guess = confirming(rows[i] as Row);
    if (guess) actions.push({ title: 'Confirm', is: 'confirm', edits: [guess] });
  }
  const questions = new Set(here.flatMap((i) => questionAt(rows, i) ?? []));
  for (const first of questions) actions.push(...answers(rows, first));
  if (actions.some(({ is }) => is === 'confirm')) {
    const all = rows.flatMap((row) => confirming(row) ?? []);
    if (all.length > 1) actions.push({ title: `Confirm all ${all.length} guesses`, is: 'confirmAll', edits: all });
  }
  return actions;
}

/** Everything that is left to answer, in the order of the draft: the question, and what each answer does. */
export function openQuestions(text: string): readonly (readonly DraftAction[])[] {
  const rows = rowsOf(text);
  return rows.flatMap((row, i) => (row.text.trimStart().startsWith(ASK) ? [answers(rows, i)] : []));
}

function rowsOf(text: string): readonly Row[] {
  const rows: Row[] = [];
  let start = 0;
  for (const line of text.split('\n')) {
    const own = line.endsWith('\r') ? line.slice(0, -1) : line;
    rows.push({ text: own, start, end: start + own.length });
    start += line.length + 1;
  }
  return rows;
}

/** The edit that takes the remark of a guess away; null: there is none on the row. */
function confirming({ text, start, end }: Row): Edit | null {
  const comment = commentStart(text);
  const guess = comment < 0 ? -1 : text.indexOf(GUESS, comment);
  if (guess < 0 || text.slice(0, comment).trim() === '') return null;
  const from = text.slice(0, guess).trimEnd().length;
  return { span: span(start + from, end), text: '' };
}

/** Where the comment of a row begins, outside of its texts; -1: it has none. */
function commentStart(row: string): number {
  let quoted = false;
  for (let i = 0; i < row.length; i++) {
    const char = row.charAt(i);
    if (quoted && char === '\\') i++;
    else if (char === '"') quoted = !quoted;
    else if (!quoted && char === '/' && row.charAt(i + 1) === '/') return i;
  }
  return -1;
}

/** The row of the question that a row is part of; null: it is part of none. */
function questionAt(rows: readonly Row[], at: number): number | null {
  let i = at;
  while (i > 0 && isAnswer(rows[i])) i--;
  return rows[i]?.text.trimStart().startsWith(ASK) ? i : null;
}

const isAnswer = (row: Row | undefined): boolean => row?.text.trimStart().startsWith(ANSWER) === true;

/** Each answer to the question on a row: it stays, and all else of the question goes. */
function answers(rows: readonly Row[], question: number): readonly DraftAction[] {
  const found: DraftAction[] = [];
  let last = question;
  while (isAnswer(rows[last + 1])) last++;
  const [from, to] = [rows[question], rows[last]];
  if (!from || !to) return [];
  for (const row of rows.slice(question + 1, last + 1)) {
    const indent = /^\s*/.exec(row.text)?.[0] ?? '';
    const rest = row.text.slice(indent.length + ANSWER.length);
    const comment = commentStart(rest);
    const json = (comment < 0 ? rest : rest.slice(0, comment)).trimEnd();
    const does = comment < 0 ? '' : rest.slice(comment + 2).trim();
    const title = `Keep ${json.replace(/,$/, '')}${does === '' ? '' : ` (${does})`}`;
    found.push({ title, is: 'answer', edits: [{ span: span(from.start, to.end), text: indent + json }] });
  }
  return found;
}

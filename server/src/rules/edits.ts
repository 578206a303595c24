import type { BoundCommand } from '../commands/bind.ts';
import { lastBefore, lineAt, wordAt } from '../syntax/at.ts';
import type { Line, Tree, Word } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import type { Edit, Finding, View } from './rule.ts';

// What fixes are made of. All keep the text's own ends of line and the indentation of the line that they stand at.

/** New rows above the line of an offset. */
export function linesAbove({ tree }: View, offset: number, rows: readonly string[]): Edit {
  const line = lineAt(tree, offset);
  // A byte order mark stays the first of all.
  const at = line.span.start + (tree.text.startsWith('\uFEFF', line.span.start) ? 1 : 0);
  return { span: { start: at, end: at }, text: rows.map((row) => indentOf(tree, line) + row + eolOf(tree)).join('') };
}

/** New rows below the line of an offset. */
export function linesBelow({ tree }: View, offset: number, rows: readonly string[]): Edit {
  const line = lineAt(tree, offset);
  const at = line.span.end;
  return { span: { start: at, end: at }, text: rows.map((row) => eolOf(tree) + indentOf(tree, line) + row).join('') };
}

/** New rows at the end of the text, behind its last line that holds anything. */
export function linesAtEnd(view: View, rows: readonly string[]): Edit {
  if (view.tree.rest) {
    const { end } = view.tree.rest;
    return { span: { start: end, end }, text: rows.map((row) => eolOf(view.tree) + row).join('') };
  }
  const last = lastFilled(view.tree);
  if (last) return { ...linesBelow(view, last.span.start, rows) };
  const eol = eolOf(view.tree);
  return { span: { start: 0, end: 0 }, text: rows.map((row) => row + eol).join('') };
}

const lastFilled = once(({ text, lines }: Tree) => lines.findLast((line) => slice(text, line.span).trim() !== ''));

/** Takes the whole line of an offset out, with its end of line. */
export function withoutLine({ tree }: View, offset: number): Edit {
  const { span, eol } = lineAt(tree, offset);
  return { span: { start: span.start, end: eol.end }, text: '' };
}

/** The command whose code or words an offset lies in. */
export function commandAt({ bound, tree }: View, offset: number): BoundCommand | null {
  const line = lineAt(tree, offset);
  return bound.at(line, offset) ?? bound.first(line) ?? null;
}

/** The word that a finding stands at. */
export function wordOf({ tree }: View, { span }: Finding): Word | null {
  return wordAt(lineAt(tree, span.start), span.start);
}

/** Puts something else in the place of a word's value; adds it where the word has none. */
export function withValue(word: Word, text: string): Edit {
  const { value, span } = word;
  return value ? { span: value.span, text } : { span: { start: span.end, end: span.end }, text };
}

/** Adds a word behind a command's last one. */
export function withWord({ node, words }: BoundCommand, text: string): Edit {
  const at = words.reduce((end, word) => Math.max(end, word.span.end), node.codeSpan.end);
  return { span: { start: at, end: at }, text: ` ${text}` };
}

/** The comment around a place, with the blanks before it; with its end of line where nothing else is on the line. */
export function edgesOf({ tree }: View, at: Span): Span | null {
  const line = lineAt(tree, at.start);
  const [tag, own] = [lastBefore(tree.tags, at.start), lastBefore(line.comments, at.start)];
  const comment = [tag?.kind === 'comment' ? tag : null, own].find((one) => one && at.end <= one.span.end);
  if (!comment) return null;
  const before = slice(tree.text, { start: line.span.start, end: comment.span.start }).trimEnd();
  const alone = before === '' && comment.span.end === line.span.end;
  return alone
    ? { start: line.span.start, end: line.eol.end }
    : { start: line.span.start + before.length, end: comment.span.end };
}

/** The blanks that a line begins with. */
export const indentOf = ({ text }: Tree, { span }: Line): string => /^[ \t]*/.exec(slice(text, span))?.[0] ?? '';

/** The end of line that the text uses, by its first one; LF in a text of one line. */
export function eolOf({ text, lines }: Tree): string {
  return slice(text, lines[0]?.eol ?? { start: 0, end: 0 }) || '\n';
}

import type { Span } from './span.ts';

/** A change of a text: `text` in place of `span`. */
export interface Edit {
  readonly span: Span;
  readonly text: string;
}

/** The text with all these edits made. They stand in the order of the text and do not overlap. */
export function applyEdits(text: string, edits: readonly Edit[]): string {
  const parts: string[] = [];
  let at = 0;
  for (const edit of edits) {
    parts.push(text.slice(at, edit.span.start), edit.text);
    at = edit.span.end;
  }
  parts.push(text.slice(at));
  return parts.join('');
}

/** Edits in the order of the text; those at one place keep their order. */
export const inOrder = (edits: readonly Edit[]): Edit[] =>
  [...edits].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);

/** Whether two edits change the same place, so that only one of them can be made. */
export function overlap(a: Edit, b: Edit): boolean {
  const same = a.span.start === b.span.start && a.span.end === b.span.end;
  return same || (a.span.start < b.span.end && b.span.start < a.span.end);
}

/** The one edit that makes `after` of `before`: what both begin and end with stays. null where they are the same. */
export function changeBetween(before: string, after: string): Edit | null {
  if (before === after) return null;
  const most = Math.min(before.length, after.length);
  let start = 0;
  while (start < most && before.charCodeAt(start) === after.charCodeAt(start)) start++;
  let tail = 0;
  while (
    tail < most - start &&
    before.charCodeAt(before.length - 1 - tail) === after.charCodeAt(after.length - 1 - tail)
  )
    tail++;
  // No end of line and no pair of code units is cut in two.
  while (start > 0 && isMiddle(before, start)) start--;
  while (tail > 0 && isMiddle(before, before.length - tail)) tail--;
  return { span: { start, end: before.length - tail }, text: after.slice(start, after.length - tail) };
}

function isMiddle(text: string, at: number): boolean {
  const [left, right] = [text.charCodeAt(at - 1), text.charCodeAt(at)];
  return (left === 13 && right === 10) || (left >= 0xd800 && left < 0xdc00);
}

import { span } from '../text/span.ts';
import { type Comment, extentOf, TokenKind } from './nodes.ts';
import { quote, report } from './problems.ts';
import { emit, rowGoesOn, type Scan, takeRow, takeTag } from './scan.ts';

/** Reads a comment from `;` to the end of the row (printing practice; RS-274 has none). */
export function readSemicolonComment(s: Scan): Comment {
  const start = s.pos;
  const end = takeRow(s, TokenKind.comment);
  return { span: span(start, end), style: 'semicolon' };
}

/**
 * Reads a comment in parentheses, which ends on its row and does not nest (NISTIR 6556 3.3.4). Where parentheses pair
 * up on the row, the whole pair is taken as one comment, so that one mistake gives one problem.
 */
export function readParenComment(s: Scan): Comment {
  const start = s.pos;
  const nested = takeParen(s, start >= s.unbalancedUntil);
  const end = s.pos;
  if (nested.at >= 0) {
    const message = `A comment in parentheses opens inside another one at ${quote(s.text, nested.at, end)}. Comments do not nest: the machine ends the first one at the first ")" and reads the rest as commands. Remove the inner parentheses, or use ";".`;
    report(s.problems, 'nested-comment', nested.at, nested.at + 1, message);
  }
  if (!nested.closed) {
    const message = `The comment ${quote(s.text, start, end)} is not closed on its row. A comment in parentheses ends where it began, on the same row: put a ")" at its end, or use ";".`;
    report(s.problems, 'unclosed-comment', start, end, message, `${s.text.slice(start, end)})`);
  }
  return { span: span(start, end), style: 'paren' };
}

function takeParen(s: Scan, pairUp: boolean): { closed: boolean; at: number } {
  let depth = 0;
  let nestedAt = -1;
  const end = pairUp ? pairEnd(s) : -1;
  while (rowGoesOn(s)) {
    if (s.pos === s.tagAt) {
      takeTag(s);
      continue;
    }
    const { text, stop } = s;
    let i = s.pos;
    for (; i < stop; i++) {
      const c = text.charCodeAt(i);
      if (c === 40) {
        depth++;
        if (depth === 2 && nestedAt < 0) nestedAt = i;
      } else if (c === 41 && (end < 0 || i === end)) {
        emit(s, TokenKind.comment, i + 1);
        return { closed: true, at: nestedAt };
      }
    }
    emit(s, TokenKind.comment, stop);
  }
  return { closed: false, at: nestedAt };
}

/**
 * The parenthesis that pairs up with the one at `pos`, tags left out; -1 where there is none on the row. A row on which
 * that happened once is not looked through again.
 */
function pairEnd(s: Scan): number {
  const { text, rowEnd } = s;
  let depth = 0;
  let tag = s.tagIndex;
  let i = s.pos;
  let end = rowEnd;
  while (i < end) {
    const next = s.tags[tag];
    const extent = next && extentOf(next);
    if (extent?.start === i) {
      i = extent.end;
      tag++;
      // A tag that runs over rows carries the row on: pairing ends there, since the row's end is not known yet.
      if (i > end) end = i;
      continue;
    }
    const c = text.charCodeAt(i);
    if (c === 40) depth++;
    else if (c === 41 && --depth === 0) {
      s.work.steps += i - s.pos;
      return i;
    }
    i++;
  }
  s.work.steps += i - s.pos;
  s.unbalancedUntil = i;
  return -1;
}

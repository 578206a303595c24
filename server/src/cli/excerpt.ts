import type { LineIndex } from '../text/lines.ts';
import type { Span } from '../text/span.ts';
import { plain } from './plain.ts';

/** A piece of a source line with a mark under part of it. */
export interface Excerpt {
  /** Without control characters. */
  readonly shown: string;
  /** How many characters of `shown` stand before the mark, and how many are marked. */
  readonly before: number;
  readonly marked: number;
}

/** Characters of a source line that are shown at most; a program in one line has millions. */
const WIDEST = 120;
const BEFORE = 40;

/** The line in which a span begins. */
export function excerptOf(text: string, lines: LineIndex, span: Span): Excerpt {
  const { line, character } = lines.position(span.start);
  const row = text.slice(lines.start(line), lines.end(line));
  return pieceOf(row, character, Math.min(span.end, lines.end(line)) - span.start);
}

function pieceOf(row: string, at: number, length: number): Excerpt {
  const from = row.length <= WIDEST ? 0 : Math.max(0, Math.min(at - BEFORE, row.length - WIDEST));
  const to = Math.min(row.length, from + WIDEST);
  const head = from > 0 ? '…' : '';
  const shown = `${head}${plain(row.slice(from, to))}${to < row.length ? '…' : ''}`;
  return { shown, before: at - from + head.length, marked: Math.max(1, Math.min(length, to - at)) };
}

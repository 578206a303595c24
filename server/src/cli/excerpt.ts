import type { ByteSource } from '../packages/source.ts';
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

/** Bytes that are read on either side of a place. */
const AROUND = 400;

/**
 * The line around a place in a text that is not in memory; what is marked ends at the next blank. `offset` in bytes.
 * null where it is no text of single bytes, such as UTF-16.
 */
export async function excerptAt(source: ByteSource, offset: number): Promise<Excerpt | null> {
  const start = Math.max(0, offset - AROUND);
  const bytes = await source.read(start, offset - start + AROUND);
  const isEnd = (byte: number): boolean => byte === 10 || byte === 13;
  const at = offset - start;
  const from = bytes.subarray(0, at).findLastIndex(isEnd) + 1;
  const end = bytes.subarray(at).findIndex(isEnd);
  if (bytes.includes(0)) return null;
  const text = (piece: Uint8Array): string => new TextDecoder().decode(piece);
  const before = text(bytes.subarray(from, at));
  const after = text(bytes.subarray(at, end < 0 ? undefined : at + end));
  return pieceOf(before + after, before.length, /^\S*/.exec(after)?.[0].length ?? 0);
}

function pieceOf(row: string, at: number, length: number): Excerpt {
  const from = row.length <= WIDEST ? 0 : Math.max(0, Math.min(at - BEFORE, row.length - WIDEST));
  const to = Math.min(row.length, from + WIDEST);
  const head = from > 0 ? '…' : '';
  const shown = `${head}${plain(row.slice(from, to))}${to < row.length ? '…' : ''}`;
  return { shown, before: at - from + head.length, marked: Math.max(1, Math.min(length, to - at)) };
}

/** A place in a text: row and UTF-16 code unit in it, both counted from 0, as the Language Server Protocol has them. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

/** Converts between offsets and positions. Everything outside the text is moved to its nearest place. */
export interface LineIndex {
  /** Rows in the text; at least one. */
  readonly count: number;
  /** The position of a UTF-16 offset. Between CR and LF it is the end of the row. */
  position(offset: number): Position;
  /** The offset of a position; a character past the row's end means the row's end. */
  offset(line: number, character: number): number;
  /** Offset at which a row begins. */
  start(line: number): number;
  /** Offset at which a row's text ends, its end of line not counted. */
  end(line: number): number;
}

/**
 * Indexes the rows of a text. LF, CRLF and a lone CR end a row (Language Server Protocol 3.17, "Text Documents").
 * Rows are those of an editor; a `Line` of the syntax tree may span several.
 */
export function lineIndex(text: string): LineIndex {
  const starts = rowStarts(text);
  const last = starts.length - 1;
  const start = (line: number): number => starts[clamp(line, last)] as number;

  const end = (line: number): number => {
    const row = clamp(line, last);
    if (row === last) return text.length;
    const next = starts[row + 1] as number;
    const pair = text.charCodeAt(next - 1) === 10 && next - 2 >= start(row) && text.charCodeAt(next - 2) === 13;
    return next - (pair ? 2 : 1);
  };

  const position = (offset: number): Position => {
    const at = clamp(offset, text.length);
    let low = 0;
    let high = last;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((starts[middle] as number) <= at) low = middle;
      else high = middle - 1;
    }
    return { line: low, character: Math.min(at, end(low)) - start(low) };
  };

  const offset = (line: number, character: number): number => {
    if (line > last) return text.length;
    if (line < 0) return 0;
    return Math.min(start(line) + clamp(character, text.length), end(line));
  };

  return { count: starts.length, position, offset, start, end };
}

/** A whole number in [0, most]; what is no number counts as 0. */
function clamp(n: number, most: number): number {
  if (!(n > 0)) return 0;
  return n >= most ? most : Math.floor(n);
}

function rowStarts(text: string): readonly number[] {
  const starts = [0];
  let lf = text.indexOf('\n');
  let cr = text.indexOf('\r');
  while (lf >= 0 || cr >= 0) {
    let next: number;
    if (cr < 0 || (lf >= 0 && lf < cr)) next = lf + 1;
    else next = cr + 1 === lf ? lf + 1 : cr + 1;
    starts.push(next);
    if (lf >= 0 && lf < next) lf = text.indexOf('\n', next);
    if (cr >= 0 && cr < next) cr = text.indexOf('\r', next);
  }
  return starts;
}

import type { BoundCommand } from '../commands/bind.ts';
import { type CommandRecord, findRecordWord, writtenCode, writtenKey } from '../commands/record.ts';
import type { Command, Line, Tag, Word } from '../syntax/nodes.ts';
import { type Span, slice } from '../text/span.ts';

/** A line as it should be written, without its end of line. */
export interface LineText {
  /** All but the trailing comment, indentation included; without blanks at its end. */
  readonly body: string;
  /** The comment behind commands or tags; '' where there is none. */
  readonly comment: string;
  /** How far from the line's start the comment stands now. */
  readonly column: number;
}

/** What stands on a line between blanks. */
interface Piece {
  readonly span: Span;
  readonly text: string;
  readonly kind: 'code' | 'text' | 'comment' | 'tag';
}

/** Numbers longer than this are left as they are. */
const LONGEST = 60;
const BLANKS = /^[ \t\v\f]*$/;

/**
 * The line with one blank between words, codes and words in upper case and numbers without needless digits. Messages,
 * strings, tags and comments stay as they are, and so does the indentation. Lines without problems only.
 * @param bound The line's commands, as `Analysis.bound` has them.
 * @param tags All tags of the line, in order.
 * @returns null where the line is better left alone.
 */
export function formatLine(
  text: string,
  line: Line,
  bound: readonly BoundCommand[],
  tags: readonly Tag[],
): LineText | null {
  const { start, end } = line.span;
  // Whether a letter O is meant as a zero hangs on what stands beside it.
  if (line.commands.some(({ words }) => words.some(({ key }) => key === 'O'))) return null;
  const pieces = piecesOf(text, line, bound, tags);
  const first = pieces[0];
  if (!first) return { body: trimmedEnd(text.slice(start, end)), comment: '', column: 0 };
  const indent = text.slice(start, first.span.start);
  if (!BLANKS.test(indent.replace(/^\ufeff/, ''))) return null;
  const last = pieces[pieces.length - 1] as Piece;
  if (!BLANKS.test(text.slice(last.span.end, end))) return null;
  const trailing = last.kind === 'comment' && pieces.length > 1;
  let body = indent + first.text;
  for (let i = 1; i < pieces.length; i++) {
    const [before, piece] = [pieces[i - 1] as Piece, pieces[i] as Piece];
    const gap = text.slice(before.span.end, piece.span.start);
    if (piece.span.start < before.span.end || !BLANKS.test(gap)) return null;
    // Where a code and its message stand together, it takes care to tell them apart.
    if (piece.kind === 'text' && gap === '') return null;
    if (trailing && piece === last) break;
    body += between(before, piece, gap) + piece.text;
  }
  const comment = trailing ? trimmedEnd(last.text) : '';
  return { body: trimmedEnd(body), comment, column: last.span.start - start };
}

/** A tag may hold what stands beside it together (`X{{# a }}1{{/ a }}`), so no blank comes in there. */
function between(before: Piece, piece: Piece, gap: string): string {
  if (piece.kind === 'text') return gap;
  return gap === '' && (before.kind === 'tag' || piece.kind === 'tag') ? '' : ' ';
}

function piecesOf(text: string, line: Line, bound: readonly BoundCommand[], tags: readonly Tag[]): Piece[] {
  const pieces: Piece[] = [];
  const records = new Map<Command | Word, CommandRecord | null>();
  for (const { node, code, record, words } of bound) {
    if (code === node.code || !records.has(node)) records.set(node, record);
    for (const word of words) records.set(word, record);
  }
  for (const command of line.commands) {
    const { codeSpan, words, freeText, named } = command;
    const known = records.get(command) ?? null;
    // The number of `T0` is its first word.
    if (codeSpan.end > codeSpan.start && words[0]?.span.start !== codeSpan.start)
      pieces.push({ span: codeSpan, text: codeText(slice(text, codeSpan), command, known), kind: 'code' });
    for (const word of words)
      pieces.push({ span: word.span, text: wordText(text, word, records.get(word) ?? null, named), kind: 'code' });
    if (freeText) pieces.push({ span: freeText, text: slice(text, freeText), kind: 'text' });
  }
  for (const { span } of line.comments) pieces.push({ span, text: slice(text, span), kind: 'comment' });
  pieces.sort((one, other) => one.span.start - other.span.start);
  return withTags(text, pieces, tags);
}

/** The pieces with the tags that are part of none of them. */
function withTags(text: string, pieces: readonly Piece[], tags: readonly Tag[]): Piece[] {
  const all: Piece[] = [];
  let next = 0;
  const takeUntil = (start: number): void => {
    for (let tag = tags[next]; tag && tag.span.start < start; tag = tags[++next])
      all.push({ span: tag.span, text: slice(text, tag.span), kind: 'tag' });
  };
  for (const piece of pieces) {
    takeUntil(piece.span.start);
    all.push(piece);
    while ((tags[next]?.span.start ?? Number.POSITIVE_INFINITY) < piece.span.end) next++;
  }
  takeUntil(Number.POSITIVE_INFINITY);
  return all;
}

function codeText(written: string, { code, named }: Command, record: CommandRecord | null): string {
  if (code === null) return written;
  if (named) return record ? writtenCode(record, code) : written;
  if (code === 'T') return written.length === 1 ? code : written;
  const plain = /^[GM][ \t\v\f]*\d+(\.\d+)?$/i.test(written) && /^[GM]\d+(\.\d+)?$/.test(code);
  return plain ? code : written;
}

/** What a named command makes of a KEY and its value only its declaration says. */
function wordText(text: string, word: Word, record: CommandRecord | null, named: boolean): string {
  const { key, keySpan, value, span } = word;
  const written = slice(text, span);
  const known = record ? findRecordWord(record, key) : undefined;
  const isKeyed = named || keySpan.end - keySpan.start > 1;
  if (key === '' || (isKeyed && (!known || value === null))) return written;
  const shown = writtenKey(record, key);
  if (!value) return shown;
  const between = text.slice(keySpan.end, value.span.start);
  const gap = between.replace(/[ \t\v\f]+/g, '');
  // In a named command a blank may be what joins them; with nothing between them a digit less may make another key.
  if (isKeyed && gap === '') return shown + (between && ' ') + slice(text, value.span);
  const isText = known?.text === true || known?.unit === 'text';
  const given = slice(text, value.span);
  return shown + gap + (value.type === 'number' && !isText ? minimal(given) : given);
}

/**
 * The same decimal number with no digit too many: `+01.50` is `1.5`, `.5` is `0.5`, `-0` is `0`. Works on the digits, so
 * that no value changes. What is no plain number comes back as it is.
 */
export function minimal(written: string): string {
  const [, sign, whole = '', behind = ''] = /^([+-]?)(\d*)\.?(\d*)$/.exec(written) ?? [];
  if (sign === undefined || whole + behind === '' || written.length > LONGEST) return written;
  const fraction = behind.replace(/0+$/, '');
  const number = (whole.replace(/^0+/, '') || '0') + (fraction === '' ? '' : `.${fraction}`);
  return sign === '-' && number !== '0' ? `-${number}` : number;
}

function trimmedEnd(text: string): string {
  let end = text.length;
  while (end > 0 && BLANKS.test(text.charAt(end - 1))) end--;
  return text.slice(0, end);
}

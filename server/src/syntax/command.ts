import { type Span, span } from '../text/span.ts';
import { isBlank, isDigit, isLetter } from './chars.ts';
import { LetterWord, NumberWord, PlainNumber, ReadCommand } from './compact.ts';
import { nameEnd } from './namedText.ts';
import { TokenKind, type Word } from './nodes.ts';
import { quote, report } from './problems.ts';
import { emit, rowGoesOn, type Scan, tagHere, takeBlanks, takeTag } from './scan.ts';
import { readFilled, readValue, takeBarePart } from './value.ts';

/** Codes up to G255 and M255, so that common ones need no new text. */
const CODES = { G: codes('G'), M: codes('M') } as const;

function codes(letter: string): readonly string[] {
  return Array.from({ length: 256 }, (_, n) => letter + n);
}

export function openCommand(s: Scan, code: string | null, start: number, end: number, named: boolean): ReadCommand {
  return new ReadCommand(code, start, end, named, s.section);
}

/** Reads `G1`, `g01`, `G92.1`, `M{{a}}` at `pos`. Other than in words, a blank ends the digits: `M117 5 mm`. */
export function readCode(s: Scan, spaced: boolean): ReadCommand {
  const { text, pos, section } = s;
  const capital = text.charCodeAt(pos) & 0x5f;
  const letter = capital === 71 ? 'G' : 'M';
  const end = codeEnd(s);
  emit(s, TokenKind.letter, pos + 1);
  if (end > 0) {
    emit(s, TokenKind.number, end);
    return openCommand(s, codeOf(text, pos, end, letter), pos, end, false);
  }
  const value = readValue(s, text.charAt(pos), spaced);
  let code: string | null = null;
  if (value === null) code = letter;
  else if (value.type === 'number') code = letter + value.number;
  const command = openCommand(s, code, pos, value ? value.span.end : pos + 1, false);
  command.section = section;
  return command;
}

/** Where the digits of a well-formed code end; -1 where what stands there has to be looked at with care. */
function codeEnd(s: Scan): number {
  const { text, pos, stop } = s;
  let i = pos + 1;
  while (i < stop && i < pos + 7 && isDigit(text.charCodeAt(i))) i++;
  if (i === pos + 1 || i === pos + 7) return -1;
  if (i + 1 < stop && text.charCodeAt(i) === 46 && isDigit(text.charCodeAt(i + 1))) {
    i += 2;
    if (i < stop && isDigit(text.charCodeAt(i))) i++;
  }
  if (i >= stop) return stop === s.tagAt ? -1 : i;
  const c = text.charCodeAt(i);
  if (isBlank(c) || c === 59 || c === 40 || c === 42) return i;
  return isLetter(c) && c !== 69 && c !== 101 && c !== 79 && c !== 111 ? i : -1;
}

/** The code without leading and trailing zeros: `G1` for G01, `G92.1` for g92.10. */
function codeOf(text: string, start: number, end: number, letter: 'G' | 'M'): string {
  let n = 0;
  for (let i = start + 1; i < end; i++) {
    const c = text.charCodeAt(i);
    if (c === 46) return letter + Number(text.slice(start + 1, end));
    n = n * 10 + (c - 48);
  }
  return CODES[letter][n] ?? letter + n;
}

/** Reads a letter with its value, if it has one. */
export function readWord(s: Scan, spaced: boolean): Word {
  const { text, pos, section } = s;
  const letter = text.charAt(pos);
  emit(s, TokenKind.letter, pos + 1);
  const value = readValue(s, letter, spaced);
  const code = text.charCodeAt(pos);
  const key = (code >= 97 ? KEYS[code - 97] : KEYS[code - 65]) as string;
  if (value instanceof PlainNumber && value.start === pos + 1)
    return new NumberWord(key, pos, value.end, value.number, section);
  return new LetterWord(key, pos, value ? value.span.end : pos + 1, value, section);
}

const KEYS: readonly string[] = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'];

/** Reads the name of a named command at `pos`; a tag in it makes the code unknown. */
export function readNamedCode(s: Scan): ReadCommand {
  const { text, pos, section } = s;
  const end = nameEnd(s, pos);
  const name = text.slice(pos, end).toUpperCase();
  emit(s, TokenKind.name, end);
  const filled = tagHere(s)
    ? readFilled(s, pos, { type: 'string', span: span(pos, end), text: name }, takeBarePart)
    : null;
  const command = openCommand(s, filled?.type === 'filled' ? null : name, pos, s.pos, true);
  command.section = section;
  return command;
}

/** `GO`, `MO`, `TO` with the letter O for zero; its code then is not known. undefined where that is not what stands there. */
export function readCodeWithO(s: Scan): ReadCommand | undefined {
  const { text, pos } = s;
  const end = nameEnd(s, pos);
  if (end - pos > 6 || !/^[GMT][Oo]+\d*$/i.test(text.slice(pos, end))) return undefined;
  const fixed = text.slice(pos, end).replace(/[Oo]/g, '0');
  emit(s, TokenKind.letter, pos + 1);
  emit(s, TokenKind.number, end);
  const message = `${quote(text, pos, end)} holds the letter O where a zero belongs, so the machine does not know the command. Write ${fixed}.`;
  report(s.problems, 'bad-number', pos, end, message, fixed);
  return openCommand(s, null, pos, end, false);
}

/** Reads everything behind a message command up to a comment or the end of the row (common practice, no source). */
export function readFreeText(s: Scan, hasNumber: boolean): Span | null {
  takeBlanks(s);
  const start = s.pos;
  let end = start;
  while (rowGoesOn(s)) {
    if (s.pos === s.tagAt) {
      end = takeTag(s).span.end;
      continue;
    }
    const semicolon = indexBefore(s, 59);
    const limit = hasNumber && semicolon === s.rowEnd ? checksumAt(s, semicolon) : semicolon;
    let last = limit;
    while (last > s.pos && s.text.charCodeAt(last - 1) <= 32) last--;
    if (last > s.pos) end = last;
    if (limit === s.stop && s.stop === s.tagAt) {
      emit(s, TokenKind.freeText, limit);
      continue;
    }
    emit(s, TokenKind.freeText, last);
    emit(s, TokenKind.space, limit);
    break;
  }
  return end > start ? span(start, end) : null;
}

function indexBefore(s: Scan, what: number): number {
  let i = s.pos;
  while (i < s.stop && s.text.charCodeAt(i) !== what) i++;
  return i;
}

/** Start of `*71` at the end of a numbered row; `rowEnd` where none stands there. */
function checksumAt(s: Scan, rowEnd: number): number {
  let i = rowEnd;
  while (i > s.pos && s.text.charCodeAt(i - 1) <= 32) i--;
  const digitsEnd = i;
  while (i > s.pos && isDigit(s.text.charCodeAt(i - 1))) i--;
  s.work.steps += rowEnd - i;
  return i < digitsEnd && s.text.charCodeAt(i - 1) === 42 && i - 1 >= s.pos ? i - 1 : rowEnd;
}

import { slice, span } from '../text/span.ts';
import { CharClass, classOf, isBlank, isCurlyQuote, isFullWidth, isLetter, isNumeric, isUnseen } from './chars.ts';
import { openCommand, readCode, readCodeWithO, readFreeText, readNamedCode, readWord } from './command.ts';
import { readParenComment, readSemicolonComment } from './comment.ts';
import { type ReadCommand, ReadLine } from './compact.ts';
import { checkLineNumber, readChecksum } from './frame.ts';
import { readNamedWord } from './named.ts';
import { nameEnd } from './namedText.ts';
import { type Command, type Comment, type Line, type Section, type Tag, TokenKind, type Word } from './nodes.ts';
import { takeOddChars } from './number.ts';
import { quote, report } from './problems.ts';
import { emit, givesText, rowGoesOn, type Scan, tagHere, takeBlanks, takeTag } from './scan.ts';
import { takeStray } from './stray.ts';
import { readBranchOfWord, readFilled, readString } from './value.ts';

const NO_COMMANDS: readonly Command[] = Object.freeze([]);
const NO_COMMENTS: readonly Comment[] = Object.freeze([]);

/** What is known of a line while it is read. */
interface OpenLine {
  readonly start: number;
  number: Word | null;
  commands: readonly Command[];
  comments: readonly Comment[];
  checksum: Line['checksum'];
  command: ReadCommand | null;
}

/** Reads the line at `pos` with its end of line. */
export function readLine(s: Scan, index: number): Line {
  s.holder = s.section;
  const start = s.pos;
  const line: OpenLine = {
    start,
    number: null,
    commands: NO_COMMANDS,
    comments: NO_COMMENTS,
    checksum: null,
    command: null,
  };
  if (start === 0 && s.text.charCodeAt(0) === 0xfeff) emit(s, TokenKind.mark, 1);
  while (rowGoesOn(s)) readPiece(s, line);
  const end = s.pos;
  const { text } = s;
  if (end < text.length) {
    const pair = text.charCodeAt(end) === 13 && text.charCodeAt(end + 1) === 10;
    emit(s, TokenKind.eol, end + (pair ? 2 : 1));
  }
  line.command?.close();
  return new ReadLine(index, start, end, s.pos, line.number, line.commands, line.comments, line.checksum);
}

/** Reads whatever stands at `pos`; always takes at least one code unit. */
function readPiece(s: Scan, line: OpenLine): void {
  const c = s.text.charCodeAt(s.pos);
  const kind = s.pos === s.tagAt ? -1 : classOf(c);
  if (kind === CharClass.letter || kind === CharClass.underscore) readLettered(s, line, c);
  else if (kind === CharClass.blank) takeBlanks(s);
  else if (kind === -1) readLooseTag(s, line);
  else if (kind === CharClass.semicolon) addComment(line, readSemicolonComment(s));
  else if (kind === CharClass.paren) addComment(line, readParenComment(s));
  else if (kind === CharClass.quote) readLooseString(s, line);
  else if (kind === CharClass.star) readLineChecksum(s, line);
  else readOther(s, line, c);
}

function addComment(line: OpenLine, comment: Comment): void {
  if (line.comments === NO_COMMENTS) line.comments = [comment];
  else (line.comments as Comment[]).push(comment);
}

function begin(line: OpenLine, command: ReadCommand): ReadCommand {
  if (line.commands === NO_COMMANDS) line.commands = [command];
  else (line.commands as Command[]).push(command);
  line.command = command;
  return command;
}

function give(s: Scan, line: OpenLine, word: Word): void {
  const { start } = word.span;
  let command = line.command;
  if (!command) {
    command = begin(line, openCommand(s, '', start, start, false));
    command.section = word.section;
  }
  command.add(word, word.span.end);
}

/** The command that takes what stands here; null behind one that is only there where this is not. */
function openedBy(s: Scan, { command }: OpenLine): ReadCommand | null {
  return command?.section && s.section && s.section !== command.section && excludes(s, s.section, command.section)
    ? null
    : command;
}

/** Whether two sections side by side are never both filled in: branches of one chain, or one condition and its opposite. */
function excludes({ text }: Scan, a: Section, b: Section): boolean {
  if (a.parent !== b.parent) return false;
  if (a.chain === b.chain) return true;
  if (a.open.keyword || b.open.keyword || a.inverted === b.inverted) return false;
  return slice(text, a.open.inner) === slice(text, b.open.inner);
}

/** A tag between words, or at the line's beginning. */
function readLooseTag(s: Scan, line: OpenLine): void {
  const tag = tagHere(s);
  if (!tag || !givesText(tag)) {
    readSteering(s, line, takeTag(s));
    return;
  }
  const { pos, section } = s;
  const open = openedBy(s, line);
  if (open?.named) {
    give(s, line, readNamedWord(s, line.number !== null, open.code));
    return;
  }
  const value = readFilled(s, pos, null);
  if (!line.command) {
    begin(line, openCommand(s, null, pos, s.pos, false)).section = section;
    return;
  }
  give(s, line, { span: span(pos, s.pos), key: '', keySpan: span(pos, pos), value, section });
}

/** What a tag that only steers parts from the word in front of its chain, if it does. */
function readSteering(s: Scan, line: OpenLine, tag: Tag): void {
  if (tag.keyword === undefined) return;
  const value = readBranchOfWord(s, tag);
  if (!value) return;
  const { start } = value.span;
  if (line.command)
    give(s, line, { span: value.span, key: '', keySpan: span(start, start), value, section: s.section });
  else begin(line, openCommand(s, null, start, s.pos, false));
}

function readLooseString(s: Scan, line: OpenLine): void {
  const { pos, section } = s;
  const value = readString(s);
  if (line.command) {
    give(s, line, { span: value.span, key: '', keySpan: span(pos, pos), value, section });
    return;
  }
  const message = `${quote(s.text, pos, s.pos)} stands where a command belongs, and a text alone does nothing. Put the command in front of it.`;
  report(s.problems, 'stray-text', pos, s.pos, message);
}

/** A letter or underscore: a named command or its word, or a letter with its value. */
function readLettered(s: Scan, line: OpenLine, c: number): void {
  const next = s.pos + 1 < s.stop ? s.text.charCodeAt(s.pos + 1) : 0;
  const open = openedBy(s, line);
  if (open?.named) give(s, line, readNamedWord(s, line.number !== null, open.code));
  else if (!isLetter(next) && next !== 95) readLetter(s, line, c);
  else if (!open && c !== 95) readFirstName(s, line);
  else if (isKeyed(s)) give(s, line, readNamedWord(s, line.number !== null, open?.code ?? null));
  else readLetter(s, line, c);
}

/** A named command; or a key and its value with the command in front of them missing. */
function readFirstName(s: Scan, line: OpenLine): void {
  const { pos } = s;
  const end = nameEnd(s, pos);
  if (!isJoinSign(s, end)) {
    begin(line, readCodeWithO(s) ?? readNamedCode(s));
    return;
  }
  const message = `${quote(s.text, pos, end + 1)} gives a value, but no command stands in front of it. Put the command's name first, then a blank.`;
  report(s.problems, 'stray-text', pos, end + 1, message);
  begin(line, openCommand(s, null, pos, pos, true));
  give(s, line, readNamedWord(s, line.number !== null, null));
}

/** Whether the sign at `at` joins a key and its value. A : that nobody stated does so in front of a number or a tag. */
function isJoinSign({ text, stop, tagAt, named }: Scan, at: number): boolean {
  const c = at < stop ? text.charCodeAt(at) : 0;
  if (c === 61) return true;
  if (c !== 58 || (named.joins !== ':' && named.joins !== null)) return false;
  const next = at + 1;
  return named.joins === ':' || (next === stop ? next === tagAt : isNumeric(text.charCodeAt(next)));
}

/** A letter with its value: a command's code, the line's number, or a word. */
function readLetter(s: Scan, line: OpenLine, c: number): void {
  if (c === 95) {
    takeStray(s, line.command !== null);
    return;
  }
  const { pos } = s;
  const spaced = pos === line.start || isBlank(s.text.charCodeAt(pos - 1));
  const letter = c & 0x5f;
  if (letter === 71 || letter === 77) {
    const opened = begin(line, readCode(s, spaced));
    if (opened.code !== null && s.freeText.has(opened.code)) takeFreeText(s, line, opened);
    return;
  }
  const word = readWord(s, spaced);
  if (letter === 78 && !line.command && !line.number) {
    line.number = word;
    checkLineNumber(s, word);
  } else if (letter === 84 && !openedBy(s, line)) {
    const opened = begin(line, openCommand(s, 'T', pos, word.span.end, false));
    opened.section = word.section;
    if (word.value) opened.add(word, word.span.end);
  } else give(s, line, word);
}

function takeFreeText(s: Scan, line: OpenLine, command: ReadCommand): void {
  const text = readFreeText(s, line.number !== null);
  if (text) command.addFreeText(text);
}

/** Whether a key and its sign stand at `pos`. A run of name characters without one is looked through once only. */
function isKeyed(s: Scan): boolean {
  if (s.pos < s.noKeyUntil) return false;
  const end = nameEnd(s, s.pos);
  if (isJoinSign(s, end)) return true;
  s.noKeyUntil = end;
  return false;
}

/** Digits, signs, look-alikes and everything else that begins no word. */
function readOther(s: Scan, line: OpenLine, c: number): void {
  if (isUnseen(c)) takeOddChars(s, isUnseen);
  else if (openedBy(s, line)?.named)
    give(s, line, readNamedWord(s, line.number !== null, openedBy(s, line)?.code ?? null));
  else if (isFullWidth(c)) takeOddChars(s, isFullWidthWord);
  else if (isCurlyQuote(c)) readLooseString(s, line);
  else if (c === 37 && isAloneOnLine(s, line)) emit(s, TokenKind.mark, s.pos + 1);
  else takeStray(s, line.command !== null);
}

/** A full-width letter, and the number behind it in whatever form. */
const isFullWidthWord = (c: number): boolean => isFullWidth(c) || isNumeric(c);

function readLineChecksum(s: Scan, line: OpenLine): void {
  if (line.checksum) takeStray(s, line.command !== null);
  else line.checksum = readChecksum(s);
}

function isAloneOnLine(s: Scan, line: OpenLine): boolean {
  if (line.command || line.number || line.comments.length > 0 || s.stop !== s.rowEnd) return false;
  let i = s.pos + 1;
  while (i < s.stop && isBlank(s.text.charCodeAt(i))) i++;
  const alone = i === s.rowEnd;
  s.work.steps += i - s.pos;
  // What stands in front may be blanks only, or the byte order mark.
  return alone && /^\ufeff?\s*$/.test(s.text.slice(line.start, Math.min(s.pos, line.start + 200)));
}

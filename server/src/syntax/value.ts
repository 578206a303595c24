import { type Span, span } from '../text/span.ts';
import { isBlank, isCurlyQuote, isLetter, isNumeric, isUnseen } from './chars.ts';
import { extentOf, type Tag, TokenKind, type WordValue } from './nodes.ts';
import { readNumber, takeOddChars } from './number.ts';
import { isRs274, reportLookAlikes } from './numberProblems.ts';
import { quote, report } from './problems.ts';
import { emit, givesText, rowGoesOn, type Scan, tagHere, takeBlanks, takeTag } from './scan.ts';

/**
 * Reads the value behind a letter: a number, a quoted string, or text with tags. null for a flag. Blanks between letter
 * and value do not count (NISTIR 6556 3.3).
 */
export function readValue(s: Scan, key: string, spaced: boolean): WordValue | null {
  if (s.pos === s.tagAt) return readFilled(s, s.pos, null);
  if (s.pos < s.stop) takeGap(s);
  if (!rowGoesOn(s)) return null;
  const tag = tagHere(s);
  if (tag) return givesText(tag) ? readFilled(s, s.pos, null) : null;
  const c = s.text.charCodeAt(s.pos);
  if (c === 34 || isCurlyQuote(c)) return readString(s);
  if (c === 91) return readBracket(s);
  const number = readNumber(s, key, spaced);
  if (number?.type === 'number' && s.pos < s.stop && s.text.charCodeAt(s.pos) === COLON)
    return readList(s, number.span.start) ?? number;
  if (!number || s.pos !== s.tagAt) return number;
  return readFilled(s, number.span.start, number);
}

const COLON = 58;

/** `420:415`: one number for each motor or tool, as some controllers take them. null where no number follows the colon. */
function readList(s: Scan, start: number): WordValue | null {
  const { text, pos, stop } = s;
  let end = pos;
  while (end < stop && text.charCodeAt(end) === COLON) {
    let i = end + 1;
    while (i < stop && isNumeric(text.charCodeAt(i))) i++;
    if (!isRs274(text.slice(end + 1, i))) break;
    end = i;
  }
  s.work.steps += end - pos;
  if (end === pos) return null;
  emit(s, TokenKind.number, end);
  return { type: 'string', span: span(start, end), text: text.slice(start, end) };
}

/** Takes blanks, and tells those that only look like one. */
function takeGap(s: Scan): void {
  takeBlanks(s);
  while (s.pos < s.stop && isUnseen(s.text.charCodeAt(s.pos))) {
    takeOddChars(s, isUnseen);
    takeBlanks(s);
  }
}

/**
 * Reads text and tags that together give one value, from the tag at `pos` on. Tags that give no text belong to it only
 * where something of it follows (`X{{#a}}1{{/a}}{{^a}}2{{/a}}`), or where they close what it opened.
 * @param first What was read before the tag; returned as it is where the tag turns out not to belong to it.
 * @param part Reads on with plain text; default: digits, points and signs.
 */
export function readFilled(
  s: Scan,
  start: number,
  first: WordValue | null,
  part: (s: Scan) => boolean = takeNumericPart,
): WordValue | null {
  const parts: (Tag | Span)[] = first ? [first.span] : [];
  const outer = s.section?.depth ?? 0;
  let filled = false;
  while (s.pos === s.tagAt) {
    const { end, goesOn } = chainOfTags(s);
    while (s.tagIndex < end && (goesOn || (s.section?.depth ?? 0) > outer)) {
      parts.push(takeTag(s));
      filled = true;
    }
    if (!goesOn) break;
    const at = s.pos;
    if (part(s)) parts.push(span(at, s.pos));
  }
  if (!filled && goesOnBehindChain(s)) {
    parts.push(takeTag(s));
    filled = true;
  }
  if (filled) return { type: 'filled', span: span(start, s.pos), parts };
  if (first?.type === 'bad') return checkPlain(s, first.span);
  return first;
}

/**
 * Whether a branch ends at `pos` and the value goes on behind the last of its chain: `«if a»X1«else»Y2«end»5`. The tag
 * that ends the branch then stands for the rest, so that nobody takes what was read for all of it.
 */
const goesOnBehindChain = (s: Scan): boolean =>
  s.pos === s.tagAt && isBranch(s.tags[s.tagIndex]) && s.section?.joins === true;

const isBranch = (tag: Tag | undefined): boolean =>
  tag?.keyword === 'else' || tag?.keyword === 'elseIf' || tag?.keyword === 'case';

/** A prefix that was left as 'bad' because a tag might complete it, and none did. */
function checkPlain(s: Scan, at: Span): WordValue {
  const found = s.text.slice(at.start, at.end);
  if (isRs274(found)) return { type: 'number', span: at, number: Number(found) + 0 };
  const message = `${quote(s.text, at.start, at.end)} is no number: it is an optional sign, then digits with at most one point.`;
  report(s.problems, 'bad-number', at.start, at.end, message);
  return { type: 'bad', span: at };
}

/**
 * The tags that stand behind one another from `pos` on, up to and including the first that gives text: the index
 * behind them, and whether the value goes on there.
 */
function chainOfTags(s: Scan): { end: number; goesOn: boolean } {
  let i = s.tagIndex;
  let at = s.pos;
  for (;;) {
    const tag = s.tags[i];
    const extent = tag && extentOf(tag);
    if (!tag || extent?.start !== at || tag.kind === 'escape') break;
    i++;
    at = extent.end;
    s.work.steps++;
    if (givesText(tag)) return { end: i, goesOn: true };
  }
  return { end: i, goesOn: at < s.text.length && isNumeric(s.text.charCodeAt(at)) };
}

/**
 * Digits directly behind a branch of a chain that began directly behind a letter or digit, on an earlier row perhaps:
 * they go on with the word there, in the jobs that have this branch. null where none stand at `pos`.
 */
export function readBranchOfWord(s: Scan, tag: Tag): WordValue | null {
  const { section, pos, text } = s;
  const before = section && section.chain !== tag && section.open === tag ? section.chain.span.start - 1 : -1;
  if (before < 0 || (!isNumeric(text.charCodeAt(before)) && !isLetter(text.charCodeAt(before)))) return null;
  if (!takeNumericPart(s)) return null;
  return { type: 'filled', span: span(tag.span.start, s.pos), parts: [tag, span(pos, s.pos)] };
}

function takeNumericPart(s: Scan): boolean {
  const { text, stop, pos } = s;
  let i = pos;
  while (i < stop && isNumeric(text.charCodeAt(i))) i++;
  emit(s, TokenKind.number, i);
  return i > pos;
}

/** Reads a quoted string, tags in it included; it ends at the row's end where the closing quote is missing. */
export function readString(s: Scan): WordValue {
  const start = s.pos;
  const odd = s.text.charCodeAt(start) !== 34;
  const parts: (Tag | Span)[] = [];
  let from = start + 1;
  let i = from;
  let hasTags = false;
  let closed = false;
  for (;;) {
    while (i < s.stop && !endsString(s.text.charCodeAt(i), odd)) i++;
    if (i > from) parts.push(span(from, i));
    if (i < s.stop) {
      closed = true;
      emit(s, TokenKind.string, i + 1);
      break;
    }
    emit(s, TokenKind.string, i);
    if (i !== s.tagAt) break;
    hasTags = true;
    parts.push(takeTag(s));
    from = i = s.pos;
  }
  const end = s.pos;
  tellString(s, start, end, odd, closed);
  if (hasTags) return { type: 'filled', span: span(start, end), parts };
  return { type: 'string', span: span(start, end), text: s.text.slice(start + 1, closed ? end - 1 : end) };
}

const endsString = (c: number, odd: boolean): boolean => c === 34 || (odd && isCurlyQuote(c));

function tellString(s: Scan, start: number, end: number, odd: boolean, closed: boolean): void {
  const shown = quote(s.text, start, end);
  if (odd || (closed && s.text.charCodeAt(end - 1) !== 34)) {
    const inner = s.text.slice(start + 1, closed ? end - 1 : end);
    const message = `${shown} stands in curly quotes, which come in when text is pasted and which the machine does not know. Use plain quotes (").`;
    report(s.problems, 'bad-number', start, end, message, inner.length < 500 ? `"${inner}"` : undefined);
  } else if (!closed) {
    const message = `The text ${shown} has no closing quote on its row, so the machine takes the rest of the row as text. Put a " where it is to end.`;
    report(s.problems, 'unclosed-string', start, end, message);
  }
}

/** `[6-[4*3/2]]`: an expression of RS-274 (NISTIR 6556 3.3.2.3), which printing controllers do not work out. */
function readBracket(s: Scan): WordValue {
  const start = s.pos;
  let depth = 0;
  let i = start;
  while (i < s.stop) {
    const c = s.text.charCodeAt(i);
    if (c === 91) depth++;
    else if (c === 93) depth--;
    else if (c === 59) break;
    i++;
    if (depth === 0) break;
  }
  emit(s, TokenKind.number, i);
  const message = `${quote(s.text, start, i)} is an expression in square brackets. RS-274 knows them, printing controllers mostly do not. Write the number, or a tag that works it out: ${s.tagShown}.`;
  report(s.problems, 'bad-number', start, i, message);
  return { type: 'bad', span: span(start, i) };
}

/** Reads on with bare text that belongs to the same value as the tag before it (`NAME=a{{b}}c`). */
export function takeBarePart(s: Scan): boolean {
  const { pos } = s;
  const end = bareEnd(s);
  if (end > pos) reportLookAlikes(s, pos, end);
  emit(s, TokenKind.name, end);
  return end > pos;
}

/** Where bare text from `pos` on ends: at a blank, a comment, the next tag or the end of row. */
export function bareEnd(s: Scan): number {
  const { text, stop } = s;
  let i = s.pos;
  while (i < stop) {
    const c = text.charCodeAt(i);
    if (isBlank(c) || c === 59) break;
    i++;
  }
  return i;
}

import { span } from '../text/span.ts';
import { isBlank, isCurlyQuote, isNameChar, isOddBlank, plainOf } from './chars.ts';
import { TokenKind, type Word, type WordValue } from './nodes.ts';
import { isRs274 } from './numberProblems.ts';
import { quote, report } from './problems.ts';
import { emit, givesText, type Scan, tagHere, takeBlanks } from './scan.ts';
import { readFilled, readString, takeBarePart } from './value.ts';

/** Where the name that begins at `from` ends. */
export function nameEnd(s: Scan, from: number): number {
  const { text, stop } = s;
  let i = from;
  while (i < stop && isNameChar(text.charCodeAt(i))) i++;
  s.work.steps += i - from;
  return i;
}

/**
 * Reads one word of a named command at `pos`: KEY=value, a bare KEY, a quoted string or other bare text. `pos` stands
 * on no blank, comment or steering tag.
 */
export function readNamedWord(s: Scan, checksums: boolean): Word {
  const { section } = s;
  const start = s.pos;
  const tag = tagHere(s);
  if (tag && givesText(tag)) return keyless(s, readFilled(s, start, null, takeBarePart) as WordValue);
  const first = s.text.charCodeAt(start);
  if (first === 34 || isCurlyQuote(first)) return keyless(s, readString(s));
  const end = nameEnd(s, start);
  const equals = end > start ? equalsBehind(s, end) : -1;
  if (equals >= 0) {
    const key = s.text.slice(start, end).toUpperCase();
    emit(s, TokenKind.name, end);
    takeBlanks(s);
    emit(s, TokenKind.equals, equals + 1);
    if (equals > end || (s.pos < s.stop && isBlank(s.text.charCodeAt(s.pos)))) tellBlanks(s, end, equals, key);
    takeBlanks(s);
    const value = readKeyValue(s, key, checksums);
    return { span: span(start, s.pos), key, keySpan: span(start, end), value, section };
  }
  const value = readBare(s, checksums);
  const flag = s.pos === end && value.type !== 'filled' && !isRs274(s.text.slice(start, end));
  if (!flag) return { span: value.span, key: '', keySpan: span(start, start), value, section };
  return { span: value.span, key: s.text.slice(start, end).toUpperCase(), keySpan: value.span, value: null, section };
}

function keyless(s: Scan, value: WordValue): Word {
  const { start } = value.span;
  return { span: value.span, key: '', keySpan: span(start, start), value, section: s.section };
}

/** Place of the = behind a key that ends at `end`, blanks between allowed; -1 where there is none. */
function equalsBehind(s: Scan, end: number): number {
  const { text, stop } = s;
  let i = end;
  while (i < stop && isBlank(text.charCodeAt(i))) i++;
  s.work.steps += i - end;
  return i < stop && text.charCodeAt(i) === 61 ? i : -1;
}

function tellBlanks(s: Scan, end: number, equals: number, key: string): void {
  let to = equals + 1;
  while (to < s.stop && isBlank(s.text.charCodeAt(to))) to++;
  const message = `A blank stands beside the "=" of ${key}. A blank ends the word there, so the machine may read ${key} without its value. Write ${key}=value without blanks.`;
  report(s.problems, 'stray-text', end, to, message, '=');
}

function readKeyValue(s: Scan, key: string, checksums: boolean): WordValue {
  const { pos } = s;
  const tag = tagHere(s);
  if (tag) {
    const filled = readFilled(s, pos, null, takeBarePart);
    if (filled) return filled;
  } else if (pos < s.stop) {
    const c = s.text.charCodeAt(pos);
    if (c === 34 || isCurlyQuote(c)) return readString(s);
    if (c !== 59) return readBare(s, checksums);
  }
  const message = `Nothing stands behind the "=" of ${key}. Write its value there, or leave the word out.`;
  report(s.problems, 'stray-text', pos, pos, message);
  return { type: 'bad', span: span(pos, pos) };
}

/** Reads bare text up to the next blank: a number where all of it is one, else a text, with tags a filled value. */
function readBare(s: Scan, checksums: boolean): WordValue {
  const { text, stop, pos } = s;
  let i = pos;
  let odd = false;
  for (; i < stop; i++) {
    const c = text.charCodeAt(i);
    if (c === 32 || c === 59 || (c === 42 && checksums && i > pos)) break;
    if (isBlank(c) || isOddBlank(c)) break;
    if (c > 127) odd = true;
  }
  const at = span(pos, i);
  const found = text.slice(pos, Math.min(i, pos + 60));
  const number = i - pos <= 60 && isRs274(found);
  emit(s, number ? TokenKind.number : TokenKind.name, i);
  if (s.pos === s.tagAt) {
    const first: WordValue = number
      ? { type: 'number', span: at, number: Number(found) + 0 }
      : { type: 'string', span: at, text: text.slice(pos, i) };
    return readFilled(s, pos, first, takeBarePart) as WordValue;
  }
  if (number) return { type: 'number', span: at, number: Number(found) + 0 };
  if (odd && i - pos <= 60) {
    const plain = [...found].map((c) => plainOf(c.charCodeAt(0)) ?? c).join('');
    if (isRs274(plain)) {
      const message = `${quote(text, pos, i)} looks like a number but holds characters that the machine does not know; such characters come in when text is pasted from a web page. Write ${plain}.`;
      report(s.problems, 'bad-number', pos, i, message, plain);
      return { type: 'bad', span: at };
    }
  }
  return { type: 'string', span: at, text: text.slice(pos, i) };
}

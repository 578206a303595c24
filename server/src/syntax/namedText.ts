import { span } from '../text/span.ts';
import { isBlank, isLetter, isNameChar, isOddBlank, plainOf } from './chars.ts';
import { TokenKind, type WordValue } from './nodes.ts';
import { isRs274 } from './numberProblems.ts';
import { quote, report } from './problems.ts';
import { emit, type Scan } from './scan.ts';
import { readFilled, takeBarePart } from './value.ts';

/** Longer pieces of text are no number and no declared key. */
export const LONGEST = 60;

/**
 * Where the name that begins at `from` ends: letters, digits and _, and a hyphen between two parts of a name, so that
 * `warm-up` is one and `step-5` is `step` and -5. Each run of such characters is looked through once.
 */
export function nameEnd(s: Scan, from: number): number {
  if (from >= s.nameFrom && from < s.nameTo && s.nameTo <= s.stop)
    return s.text.charCodeAt(from) === 45 ? from : s.nameTo;
  const { text, stop } = s;
  let i = from;
  while (i < stop && (isNameChar(text.charCodeAt(i)) || (i > from && isHyphen(s, i)))) i++;
  s.work.steps += i - from;
  s.nameFrom = from;
  s.nameTo = i;
  return i;
}

/** Whether the - at `at`, behind a character of a name, is part of it. */
function isHyphen({ text, stop }: Scan, at: number): boolean {
  if (text.charCodeAt(at) !== 45 || at + 1 >= stop) return false;
  const next = text.charCodeAt(at + 1);
  return isLetter(next) || next === 95;
}

/** Where bare text that begins at `from` ends: at a blank, a comment, a checksum where the line may have one, a tag. */
export function pieceEnd({ text, stop, work }: Scan, from: number, checksums: boolean): number {
  let i = from;
  for (; i < stop; i++) {
    const c = text.charCodeAt(i);
    if (c === 32 || c === 59 || (c === 42 && checksums && i > from)) break;
    if (isBlank(c) || isOddBlank(c)) break;
  }
  work.steps += i - from;
  return i;
}

/** Reads bare text up to the next blank: a number where all of it is one, else a text, with tags a filled value. */
export function readBare(s: Scan, checksums: boolean): WordValue {
  const { text, pos } = s;
  const i = pieceEnd(s, pos, checksums);
  const at = span(pos, i);
  const found = text.slice(pos, Math.min(i, pos + LONGEST));
  const number = i - pos <= LONGEST && isRs274(found);
  emit(s, number ? TokenKind.number : TokenKind.name, i);
  if (s.pos === s.tagAt) {
    const first: WordValue = number
      ? { type: 'number', span: at, number: Number(found) + 0 }
      : { type: 'string', span: at, text: text.slice(pos, i) };
    return readFilled(s, pos, first, takeBarePart) as WordValue;
  }
  if (number) return { type: 'number', span: at, number: Number(found) + 0 };
  // biome-ignore lint/suspicious/noControlCharactersInRegex: ASCII is what it is about.
  if (i - pos <= LONGEST && /[^\x00-\x7f]/.test(found)) {
    const plain = [...found].map((c) => plainOf(c.charCodeAt(0)) ?? c).join('');
    if (isRs274(plain)) {
      const message = `${quote(text, pos, i)} looks like a number but holds characters that the machine does not know; such characters come in when text is pasted from a web page. Write ${plain}.`;
      report(s.problems, 'bad-number', pos, i, message, plain);
      return { type: 'bad', span: at };
    }
  }
  return { type: 'string', span: at, text: text.slice(pos, i) };
}

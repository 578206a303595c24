import { span } from '../text/span.ts';
import { isCurlyQuote } from './chars.ts';
import { readJoined } from './namedJoin.ts';
import { nameEnd, readBare } from './namedText.ts';
import type { Word, WordValue } from './nodes.ts';
import { isRs274 } from './numberProblems.ts';
import { givesText, type Scan, tagHere } from './scan.ts';
import { readFilled, readString, takeBarePart } from './value.ts';

/**
 * Reads one word of a named command at `pos`: a key joined with its value in one of the ways in which the controller
 * reads it, a bare key, a quoted string or other bare text. `pos` stands on no blank, comment or steering tag.
 * @param code The command's code; null where it is not known.
 * @param checksums Whether the line may end with a checksum.
 */
export function readNamedWord(s: Scan, checksums: boolean, code: string | null): Word {
  const { section } = s;
  const start = s.pos;
  const tag = tagHere(s);
  if (tag && givesText(tag)) return keyless(s, readFilled(s, start, null, takeBarePart) as WordValue);
  const first = s.text.charCodeAt(start);
  if (first === 34 || isCurlyQuote(first)) return keyless(s, readString(s));
  const end = nameEnd(s, start);
  const known = code === null ? null : s.named.wordsOf(code);
  if (end > start) {
    const joined = readJoined(s, end, { checksums, known });
    if (joined) return joined;
  }
  const value = readBare(s, checksums);
  const name = s.text.slice(start, Math.min(end, start + 100));
  // With a hyphen it may as well be a text, unless the command is known to take it.
  const isKey = !name.includes('-') || known?.has(name.toUpperCase()) === true;
  const flag = s.pos === end && value.type !== 'filled' && !isRs274(name) && isKey;
  if (!flag) return { span: value.span, key: '', keySpan: span(start, start), value, section };
  return { span: value.span, key: s.text.slice(start, end).toUpperCase(), keySpan: value.span, value: null, section };
}

function keyless(s: Scan, value: WordValue): Word {
  const { start } = value.span;
  return { span: value.span, key: '', keySpan: span(start, start), value, section: s.section };
}

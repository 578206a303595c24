import { isNameChar } from './language.ts';

// Numbers and quoted texts, read at a place of a source. Nothing here knows a language.

/** A number at a place, and where it ends; null where none stands, or letters follow it at once. */
export interface NumberAt {
  readonly value: number;
  readonly end: number;
  readonly point: boolean;
}

const PLAIN = /(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?/y;
const ECMA =
  /0[xX][\da-fA-F]+(?:_[\da-fA-F]+)*|0[oO][0-7]+(?:_[0-7]+)*|0[bB][01]+(?:_[01]+)*|0\d+|(?:\d+(?:_\d+)*\.?(?:\d+(?:_\d+)*)?|\.\d+(?:_\d+)*)(?:[eE][+-]?\d+(?:_\d+)*)?/y;

/** @param ecma As in ECMA-262 12.9.3 and B.1.1: hexadecimal, separators, `5.`; else digits, a point and digits, an exponent. */
export function numberAt(text: string, from: number, ecma: boolean): NumberAt | null {
  const form = ecma ? ECMA : PLAIN;
  form.lastIndex = from;
  const [written] = form.exec(text) ?? [];
  if (written === undefined) return null;
  const end = from + written.length;
  const next = text.charCodeAt(end);
  if (isNameChar(next) || (ecma && (next === 36 || next === 92))) return null;
  const octal = ecma && /^0[0-7]+$/.test(written) && written !== '0';
  const value = octal ? Number.parseInt(written, 8) : Number(written.replaceAll('_', ''));
  return { value, end, point: /^[^xX]*[.eE]/.test(written) };
}

/** A text in quotes and where it ends; null where it is never closed, or holds an escape that says nothing. */
export interface TextAt {
  readonly value: string;
  readonly end: number;
}

const ESCAPES: Readonly<Record<string, string>> = {
  ...{ n: '\n', t: '\t', r: '\r', b: '\b', f: '\f', v: '\v', 0: '\0' },
};

/** @param ecma As in ECMA-262 12.9.4; else a backslash keeps a quote, a backslash, n and t, and a doubled quote is one. */
export function textAt(source: string, from: number, quote: string, ecma: boolean): TextAt | null {
  let value = '';
  let at = from + quote.length;
  let copied = at;
  while (at < source.length) {
    const char = source[at] as string;
    if (source.startsWith(quote, at)) {
      value += source.slice(copied, at);
      const end = at + quote.length;
      if (ecma || !source.startsWith(quote, end)) return { value, end };
      value += quote;
      at = end + quote.length;
      copied = at;
    } else if (char === '\\') {
      const read = ecma ? escapeAt(source, at) : plainEscapeAt(source, at, quote);
      if (!read) return null;
      value += source.slice(copied, at) + read.value;
      at = read.end;
      copied = at;
    } else if (ecma && (char === '\n' || char === '\r')) return null;
    else at++;
  }
  return null;
}

function plainEscapeAt(source: string, at: number, quote: string): TextAt {
  const next = source[at + 1] ?? '';
  if (source.startsWith(quote, at + 1)) return { value: quote, end: at + 1 + quote.length };
  if (next === '\\') return { value: '\\', end: at + 2 };
  if (next === 'n' || next === 't') return { value: ESCAPES[next] ?? '', end: at + 2 };
  return { value: '\\', end: at + 1 };
}

function escapeAt(source: string, at: number): TextAt | null {
  const next = source[at + 1] ?? '';
  if (next === 'x' || next === 'u') {
    const form = next === 'x' ? /[\da-fA-F]{2}/y : /[\da-fA-F]{4}|\{[\da-fA-F]{1,6}\}/y;
    form.lastIndex = at + 2;
    const [digits] = form.exec(source) ?? [];
    const code = digits === undefined ? Number.NaN : Number.parseInt(digits.replace(/[{}]/g, ''), 16);
    if (!(code <= 0x10ffff)) return null;
    return { value: String.fromCodePoint(code), end: at + 2 + (digits?.length ?? 0) };
  }
  if (next === '\r' && source[at + 2] === '\n') return { value: '', end: at + 3 };
  if (next === '\n' || next === '\r' || next === '\u2028' || next === '\u2029') return { value: '', end: at + 2 };
  const octal = /[0-3][0-7]{0,2}|[4-7][0-7]?/y;
  octal.lastIndex = at + 1;
  const [digits] = octal.exec(source) ?? [];
  if (digits !== undefined)
    return { value: String.fromCharCode(Number.parseInt(digits, 8)), end: at + 1 + digits.length };
  if (next === '') return null;
  return { value: ESCAPES[next] ?? next, end: at + 2 };
}

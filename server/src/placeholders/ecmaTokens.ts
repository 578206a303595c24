// The words of ECMA-262 expressions (clause 12), for the part of them that `ecmaTree.ts` reads. Left out, since no
// placeholder needs it: escapes in names, comments as HTML has them, and what only stands in templates.

/** A source that is no expression of this part of ECMA-262, from an offset on. */
export class NotRead extends Error {
  readonly pos: number;
  /** What begins there, where it is an expression of ECMA-262 all the same, as ESTree names it; null: it is none. */
  readonly form: string | null;
  constructor(pos: number, form: string | null = null) {
    super(`cannot be read from ${pos} on`);
    this.pos = pos;
    this.form = form;
  }
}

export interface Token {
  readonly start: number;
  readonly end: number;
  /** Reserved words are signs. */
  readonly kind: 'number' | 'text' | 'name' | 'sign' | 'end';
  /** null: a number that none of ours can hold (1n). */
  readonly value: number | string | null;
  /** A line break stands before it. */
  readonly newLine: boolean;
}

const RESERVED: ReadonlySet<string> = new Set(
  (
    'break case catch class const continue debugger default delete do else enum export extends false finally for ' +
    'function if import in instanceof new null return super switch this throw true try typeof var void while with'
  ).split(' '),
);

const SPACE = /(?:\s|\/\/.*|\/\*[\s\S]*?\*\/)*/y;
const NAME = /[$_\p{ID_Start}](?:[$\p{ID_Continue}]|\u200c|\u200d)*/uy;
const SIGN =
  /=>|\.{3}|\?\.(?!\d)|(?:>>>|\*\*|&&|\|\||\?\?|<<|>>)=?|\+\+|--|[=!]==|[-+*/%&|^<>=!]=?|[[\]{}().,;:?~`]|#(?=[$_\p{ID_Start}])/uy;
const OTHER_RADIX = /0(?:[xX][\da-fA-F](?:_?[\da-fA-F])*|[oO][0-7](?:_?[0-7])*|[bB][01](?:_?[01])*)n?/y;
/** 010 is 8, as in scripts (B.1.1 of older editions). */
const OLD_OCTAL = /0[0-7]+(?!\d)/y;
const LARGE = /(?:0|[1-9](?:_?\d)*)n/y;
const DECIMAL = /(?:(?:0\d*|[1-9](?:_?\d)*)(?:\.(?:\d(?:_?\d)*)?)?|\.\d(?:_?\d)*)(?:e[+-]?\d(?:_?\d)*)?/iy;
const ESCAPE =
  /\\(?:x([\da-fA-F]{2})|u([\da-fA-F]{4})|u\{([\da-fA-F]+)\}|([0-3][0-7]{0,2}|[4-7][0-7]?)|(\r\n|[\n\r\u2028\u2029])|([^xu]))/y;
const ESCAPED: Readonly<Record<string, string>> = { b: '\b', f: '\f', n: '\n', r: '\r', t: '\t', v: '\v' };
const REGULAR =
  /\/(?![*/])(?:[^\\/[\n\r\u2028\u2029]|\\.|\[(?:[^\]\\\n\r\u2028\u2029]|\\.)*\])+\/[$\p{ID_Continue}]*/uy;

/** What a sticky pattern finds at an offset. */
function found(pattern: RegExp, source: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(source);
}

/** The next token from an offset on. Throws `NotRead`. */
export function readToken(source: string, from: number): Token {
  const blank = found(SPACE, source, from)?.[0] ?? '';
  const start = from + blank.length;
  const newLine = /[\n\r\u2028\u2029]/.test(blank);
  const token = (kind: Token['kind'], length: number, value: Token['value']): Token => ({
    ...{ start, end: start + length, kind, value, newLine },
  });
  const first = source[start];
  if (first === undefined) return token('end', 0, '');
  if (first === '"' || first === "'") {
    const { end, value } = readText(source, start, first);
    return token('text', end - start, value);
  }
  if (/\d/.test(first) || (first === '.' && /\d/.test(source[start + 1] ?? ''))) {
    const raw = readNumber(source, start);
    return token('number', raw.length, numberOf(raw));
  }
  const name = found(NAME, source, start)?.[0];
  if (name !== undefined) return token(RESERVED.has(name) ? 'sign' : 'name', name.length, name);
  // A comment that does not end.
  const sign = source.startsWith('/*', start) ? undefined : found(SIGN, source, start)?.[0];
  if (sign === undefined) throw new NotRead(start);
  return token('sign', sign.length, sign);
}

/** A regular expression, where one may begin; null where none does. It is not looked into. */
export const readRegular = (source: string, start: number): string | null => found(REGULAR, source, start)?.[0] ?? null;

function readNumber(source: string, start: number): string {
  const raw = [OTHER_RADIX, OLD_OCTAL, LARGE, DECIMAL].map((one) => found(one, source, start)?.[0]).find((one) => one);
  if (raw === undefined) throw new NotRead(start);
  const end = start + raw.length;
  // 12.3.1: no name begins right behind a number.
  if (found(NAME, source, end) === null) return raw;
  if (/^0[xob]/i.test(source.slice(start, start + 2)) && raw === '0') throw new NotRead(start + 2);
  const lacksPower = /e/i.test(source[end] ?? '') && /^(?!0\d)[\d._]+$/.test(raw);
  throw new NotRead(lacksPower ? start : end);
}

function numberOf(raw: string): number | null {
  if (/^0\d*$/.test(raw) && !/[89]/.test(raw)) return Number.parseInt(raw, 8);
  return raw.endsWith('n') ? null : Number(raw.replaceAll('_', ''));
}

function readText(source: string, start: number, quote: string): { readonly end: number; readonly value: string } {
  let value = '';
  let at = start + 1;
  for (;;) {
    const char = source[at];
    if (char === undefined || char === '\n' || char === '\r') throw new NotRead(start);
    if (char === quote) return { end: at + 1, value };
    if (char !== '\\') {
      value += char;
      at++;
      continue;
    }
    const match = found(ESCAPE, source, at);
    if (!match) throw new NotRead(at + 1 < source.length ? digitsAt(source, at) : start);
    value += escaped(match) ?? fail(digitsAt(source, at));
    at += match[0].length;
  }
}

/** Where the digits of an escape begin that stands at an offset. */
const digitsAt = (source: string, at: number): number => at + (source[at + 2] === '{' ? 3 : 2);

/** What an escape stands for; null: for no character that there is. */
function escaped([, two, four, any, octal, lineBreak, char = '']: RegExpExecArray): string | null {
  const hex = two ?? four ?? any;
  const code = hex !== undefined ? Number.parseInt(hex, 16) : octal !== undefined ? Number.parseInt(octal, 8) : null;
  if (code !== null) return code > 0x10ffff ? null : String.fromCodePoint(code);
  return lineBreak !== undefined ? '' : (ESCAPED[char] ?? char);
}

/** Gives up: from here on it cannot be read. */
export function fail(pos: number, form: string | null = null): never {
  throw new NotRead(pos, form);
}

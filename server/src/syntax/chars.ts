/** Character classes of the scanner, and the characters that look like others. */

export const CharClass = {
  other: 0,
  blank: 1,
  letter: 2,
  digit: 3,
  /** Point, plus, minus: may begin a number. */
  numeric: 4,
  semicolon: 5,
  paren: 6,
  quote: 7,
  star: 8,
  underscore: 9,
} as const;

const CLASSES: Uint8Array = makeClasses();

function makeClasses(): Uint8Array {
  const table = new Uint8Array(128);
  for (const c of ' \t\v\f') table[c.charCodeAt(0)] = CharClass.blank;
  for (let c = 65; c <= 90; c++) table[c] = table[c + 32] = CharClass.letter;
  for (let c = 48; c <= 57; c++) table[c] = CharClass.digit;
  for (const c of '.+-') table[c.charCodeAt(0)] = CharClass.numeric;
  table[59] = CharClass.semicolon;
  table[40] = CharClass.paren;
  table[34] = CharClass.quote;
  table[42] = CharClass.star;
  table[95] = CharClass.underscore;
  return table;
}

/** The class of a UTF-16 code unit; everything outside ASCII is `other`. */
export const classOf = (c: number): number => (c < 128 ? (CLASSES[c] as number) : CharClass.other);

export const isDigit = (c: number): boolean => c >= 48 && c <= 57;
export const isLetter = (c: number): boolean => (c >= 65 && c <= 90) || (c >= 97 && c <= 122);
/** May stand in the name of a named command or of its KEY. */
export const isNameChar = (c: number): boolean => isLetter(c) || isDigit(c) || c === 95;
export const isBlank = (c: number): boolean => c === 32 || c === 9 || c === 11 || c === 12;
/** Digit, point or sign. */
export const isNumeric = (c: number): boolean => isDigit(c) || c === 46 || c === 43 || c === 45;

/** Blanks that editors show like a space, but that controllers do not know (Unicode general category Zs, and tab-like ones). */
export const isOddBlank = (c: number): boolean =>
  c === 0xa0 || c === 0x1680 || (c >= 0x2000 && c <= 0x200a) || c === 0x202f || c === 0x205f || c === 0x3000;

/** Characters without any width (Unicode general category Cf): zero-width space and joiners, soft hyphen, inner byte order mark. */
export const isZeroWidth = (c: number): boolean =>
  (c >= 0x200b && c <= 0x200f) || c === 0x2060 || c === 0xfeff || c === 0xad;

/** Shown as a blank or not at all, yet no blank to the machine. */
export const isUnseen = (c: number): boolean => c > 127 && (isOddBlank(c) || isZeroWidth(c));

/** Dashes that look like a minus: hyphens, figure dash, en and em dash, U+2212, small and full-width forms. */
export const isOddMinus = (c: number): boolean =>
  (c >= 0x2010 && c <= 0x2015) || c === 0x2212 || c === 0xfe58 || c === 0xfe63 || c === 0xff0d;

/** Double quotes as word processors set them. */
export const isCurlyQuote = (c: number): boolean =>
  (c >= 0x201c && c <= 0x201f) || c === 0xab || c === 0xbb || c === 0xff02;

/** Full-width forms of ASCII (Unicode block U+FF01 to U+FF5E). */
export const isFullWidth = (c: number): boolean => c >= 0xff01 && c <= 0xff5e;

/** The ASCII text that a look-alike stands for; null where the character is no look-alike. */
export function plainOf(c: number): string | null {
  if (isOddBlank(c)) return ' ';
  if (isZeroWidth(c)) return '';
  if (isOddMinus(c)) return '-';
  if (isCurlyQuote(c)) return '"';
  if (isFullWidth(c)) return String.fromCharCode(c - 0xfee0);
  if (c === 0x2018 || c === 0x2019) return "'";
  return null;
}

const NAMES: ReadonlyMap<number, string> = new Map([
  [0xa0, 'no-break space'],
  [0x202f, 'narrow no-break space'],
  [0x2007, 'figure space'],
  [0x2009, 'thin space'],
  [0x200a, 'hair space'],
  [0x200b, 'zero-width space'],
  [0xfeff, 'zero-width no-break space'],
  [0xad, 'soft hyphen'],
  [0x2212, 'minus sign of mathematics'],
  [0x2013, 'en dash'],
  [0x2014, 'em dash'],
  [0x3000, 'full-width space'],
]);

/** Names a look-alike for a message: `no-break space (U+00A0)`. */
export function describeChar(c: number): string {
  const code = `U+${c.toString(16).toUpperCase().padStart(4, '0')}`;
  const name = NAMES.get(c) ?? kindOf(c);
  return `${name} (${code})`;
}

function kindOf(c: number): string {
  if (isOddBlank(c)) return 'special space';
  if (isZeroWidth(c)) return 'character without width';
  if (isOddMinus(c)) return 'dash';
  if (isCurlyQuote(c)) return 'curly quote';
  if (isFullWidth(c)) return 'full-width character';
  return 'character';
}

import { decode } from '../text/decode.ts';
import { startsWith } from './bytes.ts';
import type { ContentKind } from './entry.ts';
import { GZIP } from './gzip.ts';

/** What the first bytes of a file tell about it. */
export interface Sniffed {
  readonly kind: ContentKind;
  /** For people. */
  readonly what: string;
  /** It reads like a program; null where more bytes are needed to tell. */
  readonly program: boolean | null;
}

// A zip begins with an entry, with an end record where it is empty (the second of them in a large one), or with a mark
// where it was split or written as a stream (PKWARE APPNOTE 4.3.7, 4.3.16, 4.3.14, 8.5.3).
const ZIPS = [
  [0x50, 0x4b, 3, 4],
  [0x50, 0x4b, 5, 6],
  [0x50, 0x4b, 6, 6],
  [0x50, 0x4b, 7, 8],
];

// PNG: W3C PNG 5.2. JPEG: ITU-T T.81 B.1.1.3. GIF: 89a section 17. WebP: RFC 9649 2.4.
const PICTURES = [
  [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  [0xff, 0xd8, 0xff],
  [0x47, 0x49, 0x46, 0x38],
  [0x52, 0x49, 0x46, 0x46],
];

/**
 * @param bytes The first of a file.
 * @param whole They are all of it.
 */
export function sniff(bytes: Uint8Array, whole: boolean): Sniffed {
  if (bytes.length === 0) return { kind: 'empty', what: 'empty file', program: false };
  if (ZIPS.some((start) => startsWith(bytes, start))) return { kind: 'zip', what: 'zip package', program: false };
  if (startsWith(bytes, GZIP)) return { kind: 'gzip', what: 'gzip file', program: false };
  if (PICTURES.some((start) => startsWith(bytes, start))) return { kind: 'binary', what: 'picture', program: false };
  const { text, encoding, guessed } = decode(bytes);
  if (!isText(bytes, encoding.startsWith('utf-16'), guessed)) {
    return { kind: 'binary', what: 'binary file', program: false };
  }
  if (/^\s*<[?!A-Za-z]/.test(text)) return { kind: 'text', what: 'XML', program: false };
  const program = readsLikeProgram(text, whole);
  return { kind: 'text', what: program ? 'program' : 'text', program };
}

/** Few bytes are control characters, and not most of them are beyond ASCII unless they are UTF-8. */
function isText(bytes: Uint8Array, wide: boolean, guessed: boolean): boolean {
  if (wide) return true;
  let controls = 0;
  let upper = 0;
  for (const byte of bytes) {
    if (byte < 0x20 ? (byte < 9 || byte > 13) && byte !== 0x1a && byte !== 0x1b : byte === 0x7f) controls++;
    else if (byte >= 0x80) upper++;
  }
  // A few stray bytes leave a text a text: the check tells where they stand.
  return controls * 100 <= bytes.length && !(guessed && upper * 4 > bytes.length);
}

const COMMAND = /^(N\s*\d+\s*)?[GMT]\s*\d/i;
/** Words alone go on with the last motion; a named command has words with "=" or none. Neither tells for or against. */
const PERHAPS = /^([A-Z]\s*[-+.\d]+\s*)+$|^[A-Z_][A-Z0-9_]*(\s+[A-Z_][A-Z0-9_]*=\S*)*$|^%/i;
/** Lines that say something, read before it is decided. */
const ENOUGH = 2000;

function readsLikeProgram(text: string, whole: boolean): boolean | null {
  const lines = text.split(/\r\n|\n|\r/);
  if (!whole) lines.pop(); // may be half a line
  let commands = 0;
  let others = 0;
  let remarks = 0;
  for (const line of lines) {
    // A line of a megabyte would be no program's; its start tells enough.
    const plain = line
      .slice(0, 400)
      .replace(/;.*|\([^)]*\)/g, '')
      .trim();
    if (plain === '') remarks += line.trim() === '' ? 0 : 1;
    else if (COMMAND.test(plain)) commands++;
    else if (!PERHAPS.test(plain)) others++;
    if (commands + others > ENOUGH) break;
  }
  // Programs may begin with a picture of the part, a megabyte of remarks.
  if (commands === 0 && others === 0 && remarks > 0 && !whole) return null;
  return commands > others;
}

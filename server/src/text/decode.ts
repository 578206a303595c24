export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

export interface Decoded {
  /** Without the byte order mark. */
  readonly text: string;
  readonly encoding: Encoding;
  /** Whether a byte order mark stood in front. */
  readonly bom: boolean;
  /** The bytes are no valid UTF-8, so that the encoding is a guess and characters beyond ASCII may be wrong. */
  readonly guessed: boolean;
}

/**
 * Turns the bytes of a file into text: by its byte order mark (Unicode Standard 23.8), as UTF-16 where every second byte
 * is zero, as UTF-8 where it is valid, else as windows-1252, in which any bytes at all are a text.
 */
export function decode(bytes: Uint8Array): Decoded {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return utf8(bytes.subarray(3), true);
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return utf16(bytes.subarray(2), 'utf-16le', true);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return utf16(bytes.subarray(2), 'utf-16be', true);
  const wide = looksLikeUtf16(bytes);
  return wide ? utf16(bytes, wide, false) : utf8(bytes, false);
}

function utf8(bytes: Uint8Array, bom: boolean): Decoded {
  try {
    const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
    return { text, encoding: 'utf-8', bom, guessed: false };
  } catch {
    // The decoder's only way to tell that the bytes are no UTF-8.
    return { text: windows1252(bytes), encoding: 'windows-1252', bom, guessed: true };
  }
}

/** A last byte without its partner is dropped. */
function utf16(bytes: Uint8Array, encoding: 'utf-16le' | 'utf-16be', bom: boolean): Decoded {
  const even = bytes.length - (bytes.length % 2);
  const ordered = bytes.slice(0, even);
  if (encoding === 'utf-16be') {
    for (let i = 0; i < even; i += 2) {
      ordered[i] = bytes[i + 1] as number;
      ordered[i + 1] = bytes[i] as number;
    }
  }
  const text = new TextDecoder('utf-16le', { ignoreBOM: true }).decode(ordered);
  return { text, encoding, bom, guessed: false };
}

/** How many bytes are looked at, and which share of pairs must have their zero on one side and may have it on the other. */
const LOOKED_AT = 512;
const MOST = 0.8;
const FEW = 0.1;

/** UTF-16 without a mark: almost every pair of bytes holds one zero, on the same side. Commands are mostly ASCII. */
function looksLikeUtf16(bytes: Uint8Array): 'utf-16le' | 'utf-16be' | null {
  const end = Math.min(bytes.length - (bytes.length % 2), LOOKED_AT);
  if (end < 4) return null;
  let first = 0;
  let second = 0;
  for (let i = 0; i < end; i += 2) {
    if (bytes[i] === 0) first++;
    if (bytes[i + 1] === 0) second++;
  }
  const pairs = end / 2;
  if (second >= pairs * MOST && first <= pairs * FEW) return 'utf-16le';
  if (first >= pairs * MOST && second <= pairs * FEW) return 'utf-16be';
  return null;
}

/** Bytes 0x80 to 0x9F in windows-1252 (WHATWG Encoding Standard, index-windows-1252); all others are the code point itself. */
export const UPPER =
  '\u20ac\u0081\u201a\u0192\u201e\u2026\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u008d\u017d\u008f' +
  '\u0090\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u02dc\u2122\u0161\u203a\u0153\u009d\u017e\u0178';

/** Not left to TextDecoder: builds with small language data do not know windows-1252. */
function windows1252(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let from = 0; from < bytes.length; from += 8192) {
    const units = Array.from(bytes.subarray(from, from + 8192), (b) =>
      b >= 0x80 && b <= 0x9f ? UPPER.charCodeAt(b - 0x80) : b,
    );
    parts.push(String.fromCharCode(...units));
  }
  return parts.join('');
}

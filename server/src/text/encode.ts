import { type Decoded, UPPER } from './decode.ts';

/**
 * The bytes of a text in the encoding and with the byte order mark of the file that it was made from. A character that
 * windows-1252 does not have becomes a question mark.
 */
export function encode(text: string, { encoding, bom }: Pick<Decoded, 'encoding' | 'bom'>): Uint8Array {
  const whole = bom ? `\ufeff${text}` : text;
  if (encoding === 'utf-8') return new TextEncoder().encode(whole);
  if (encoding === 'windows-1252') return Uint8Array.from(text, byteOf);
  const bytes = new Uint8Array(whole.length * 2);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < whole.length; i++) view.setUint16(i * 2, whole.charCodeAt(i), encoding === 'utf-16le');
  return bytes;
}

function byteOf(char: string): number {
  const code = char.charCodeAt(0);
  const upper = UPPER.indexOf(char);
  if (upper >= 0) return 0x80 + upper;
  return char.length === 1 && code <= 0xff ? code : 0x3f;
}

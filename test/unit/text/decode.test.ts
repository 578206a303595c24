import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decode } from '../../../server/src/text/decode.ts';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const utf16 = (text: string, big: boolean): Uint8Array =>
  Uint8Array.from(
    [...Array(text.length).keys()].flatMap((i) => {
      const c = text.charCodeAt(i);
      return big ? [c >> 8, c & 255] : [c & 255, c >> 8];
    }),
  );
const TEXT = 'G28 ; 20 °C 😀\r\nM104 S210\n';

describe('decode', () => {
  it.each([
    ['UTF-8', utf8(TEXT), 'utf-8', false],
    ['UTF-8 with a mark', utf8(`\ufeff${TEXT}`), 'utf-8', true],
    ['UTF-16 LE with a mark', utf16(`\ufeff${TEXT}`, false), 'utf-16le', true],
    ['UTF-16 BE with a mark', utf16(`\ufeff${TEXT}`, true), 'utf-16be', true],
    ['UTF-16 LE without a mark', utf16(TEXT, false), 'utf-16le', false],
    ['UTF-16 BE without a mark', utf16(TEXT, true), 'utf-16be', false],
  ] as const)('reads %s', (_, bytes, encoding, bom) => {
    expect(decode(bytes)).toEqual({ text: TEXT, encoding, bom, guessed: false });
  });

  it('reads what is no UTF-8 as windows-1252, and says that it guessed', () => {
    // 0xB0 is the degree sign, 0x96 an en dash in windows-1252 (WHATWG Encoding Standard).
    expect(decode(Uint8Array.of(0x3b, 0x20, 0xb0, 0x43, 0x96))).toEqual({
      text: '; °C–',
      encoding: 'windows-1252',
      bom: false,
      guessed: true,
    });
  });

  it('has the same upper half as the platform has', () => {
    const bytes = Uint8Array.from({ length: 256 }, (_, i) => i);
    // Node's own table maps as the WHATWG standard does, except that some releases leave 0x80 to 0x9F as they are.
    const platform = new TextDecoder('windows-1252').decode(bytes);
    const ours = decode(bytes).text;
    expect(ours.slice(0xa0)).toBe(platform.slice(0xa0));
    expect(ours.slice(0x80, 0x85)).toBe('€\u0081‚ƒ„');
  });

  it('keeps a second mark, since only the first is no text', () => {
    expect(decode(utf8('\ufeff\ufeffG28')).text).toBe('\ufeffG28');
  });

  it('takes NUL bytes in plain text for what they are', () => {
    expect(decode(utf8('G28\0\nM104 S200\n')).encoding).toBe('utf-8');
    expect(decode(new Uint8Array(0))).toEqual({ text: '', encoding: 'utf-8', bom: false, guessed: false });
  });

  it('decodes any bytes at all, and gives back any text that was UTF-8', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        expect(typeof decode(bytes).text).toBe('string');
      }),
      { seed: 12 },
    );
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', minLength: 1 }), (text) => {
        fc.pre(!text.includes('\0') && !text.startsWith('\ufeff'));
        expect(decode(utf8(text)).text).toBe(text);
      }),
      { seed: 13 },
    );
  });
});

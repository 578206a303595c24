import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineIndex } from '../../../server/src/text/lines.ts';

describe('lineIndex', () => {
  it('knows LF, CRLF and a lone CR (LSP 3.17, Text Documents)', () => {
    const index = lineIndex('a\nbc\r\nd\re');
    expect(index.count).toBe(4);
    expect([0, 1, 2, 3].map((n) => [index.start(n), index.end(n)])).toEqual([
      [0, 1],
      [2, 4],
      [6, 7],
      [8, 9],
    ]);
  });

  it('counts UTF-16 code units, so that an emoji is two', () => {
    const index = lineIndex('; 😀 X1\nG28');
    expect(index.position(5)).toEqual({ line: 0, character: 5 });
    expect(index.offset(1, 1)).toBe(9);
  });

  it('has one row for an empty text, and an empty last row behind a last end of line', () => {
    expect(lineIndex('').count).toBe(1);
    expect(lineIndex('').position(7)).toEqual({ line: 0, character: 0 });
    expect(lineIndex('a\n').count).toBe(2);
    expect(lineIndex('a\n').position(2)).toEqual({ line: 1, character: 0 });
  });

  it('moves what lies outside to the nearest place', () => {
    const index = lineIndex('abc\r\nd');
    expect(index.position(-3)).toEqual({ line: 0, character: 0 });
    expect(index.position(99)).toEqual({ line: 1, character: 1 });
    expect(index.position(4)).toEqual({ line: 0, character: 3 }); // between CR and LF
    expect(index.offset(0, 99)).toBe(3);
    expect(index.offset(99, 0)).toBe(6);
    expect(index.offset(-1, 5)).toBe(0);
    expect(index.offset(0, Number.NaN)).toBe(0);
  });

  it('goes there and back for every offset that is not inside an end of line', () => {
    const texts = fc.array(fc.constantFrom('a', '😀', '\r', '\n', '\r\n', ' '), { maxLength: 40 });
    fc.assert(
      fc.property(texts, (pieces) => {
        const text = pieces.join('');
        const index = lineIndex(text);
        expect(index.count).toBe(text.split(/\r\n|\n|\r/).length);
        for (let at = 0; at <= text.length; at++) {
          const { line, character } = index.position(at);
          const inside = text[at - 1] === '\r' && text[at] === '\n';
          expect(index.offset(line, character)).toBe(inside ? at - 1 : at);
        }
      }),
      { seed: 11 },
    );
  });
});

import { describe, expect, it } from 'vitest';
import { joined } from '../../../server/src/packages/bytes.ts';
import { type ByteSource, passingPieces, piecesOf, sourceIn } from '../../../server/src/packages/source.ts';
import { randomOf } from '../analyze/random.ts';

/** A file of `size` bytes, of which the system hands over a random part at a time. */
function fileOf(size: number, seed: number): { readonly bytes: Uint8Array; readonly source: ByteSource } {
  const random = randomOf(seed);
  const bytes = Uint8Array.from({ length: size }, () => random.whole(0, 255));
  const handle = {
    async read(into: Uint8Array, at: number, length: number, position: number) {
      const part = bytes.subarray(position, position + random.whole(1, length));
      into.set(part, at);
      return { bytesRead: part.length };
    },
  };
  return { bytes, source: sourceIn(handle, size) };
}

describe('a file in pieces', () => {
  it.each([0, 1, 262_143, 262_144, 262_145, 1_000_000])('%i bytes come out as they are', async (size) => {
    const { bytes, source } = fileOf(size, size + 1);
    for (const pieces of [piecesOf(source, 0, size), passingPieces(source, 0, size)]) {
      const copies: Uint8Array[] = [];
      for await (const piece of pieces) copies.push(piece.slice());
      expect(Buffer.compare(joined(copies, size), bytes)).toBe(0);
    }
  });

  it('a piece that may be written over holds until the next is asked for, and only two places are used', async () => {
    const { bytes, source } = fileOf(1_500_000, 7);
    const places = new Set<ArrayBufferLike>();
    let at = 0;
    for await (const piece of passingPieces(source, 0, bytes.length)) {
      places.add(piece.buffer);
      // The next one is being read meanwhile.
      await new Promise((resolve) => setImmediate(resolve));
      expect(Buffer.compare(piece, bytes.subarray(at, at + piece.length))).toBe(0);
      at += piece.length;
    }
    expect(at).toBe(bytes.length);
    expect(places.size).toBe(2);
  });

  it('pieces that may be kept stay as they are', async () => {
    const { bytes, source } = fileOf(1_500_000, 8);
    const kept: Uint8Array[] = [];
    for await (const piece of piecesOf(source, 0, bytes.length)) kept.push(piece);
    expect(Buffer.compare(joined(kept, bytes.length), bytes)).toBe(0);
  });
});

import { describe, expect, it } from 'vitest';
import { inflate } from '../../../server/src/nodeFiles.ts';
import { LIMITS, listPackage } from '../../../server/src/packages/package.ts';
import { sourceOf } from '../../../server/src/packages/source.ts';
import { join, utf8, zip } from '../../program/packages.ts';
import { countWork, grownBeyond } from '../../work/counting.ts';

const CODE = utf8('G28\nM104 S210\nG1 X10 Y10 F3000\n');
const list = (bytes: Uint8Array) => listPackage(sourceOf(bytes), inflate, LIMITS);

describe('work grows with the bytes, whatever they are', () => {
  const MEGABYTE = 1 << 20;
  it.each([
    'X= B= C= ',
    '(',
    ' ',
    '\n',
    '<a b="',
    '<!--',
    '<Default Extension="a" ',
    '<a   ',
    ' a="b"',
    'PK\u0005\u0006',
  ])('a megabyte of "%s"', async (piece) => {
    const all = async (size: number): Promise<void> => {
      const bytes = utf8(piece.repeat(size / piece.length - 1));
      await list(bytes);
      await list(
        zip([
          { name: '[Content_Types].xml', bytes: join(utf8('<Types '), bytes), method: 0 },
          { name: '_rels/.rels', bytes: CODE },
        ]),
      );
      await list(
        zip([
          { name: '[Content_Types].xml', bytes: utf8('<Types/>') },
          { name: '_rels/.rels', bytes, method: 0 },
        ]),
      );
    };
    await all(MEGABYTE);
    expect(grownBeyond(await countWork(() => all(100_000)), await countWork(() => all(200_000)))).toEqual([]);
  });
});

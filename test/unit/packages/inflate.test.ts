import { constants, deflateRawSync, inflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { inflate as nodeInflate } from '../../../server/src/nodeFiles.ts';
import { pakoInflate } from '../../../server/src/packages/inflate.ts';
import { entryBytes, listPackage } from '../../../server/src/packages/package.ts';
import { type Inflate, sourceOf } from '../../../server/src/packages/source.ts';
import { join, members, mutated, noise, program, utf8, zip } from '../../program/packages.ts';
import { fewest, share } from '../../quick/share.ts';
import { type Random, randomOf } from '../analyze/random.ts';

/** What comes out, and how much was taken up; or why it was refused. */
async function outcome(inflate: Inflate, pieces: AsyncIterable<Uint8Array>) {
  let taken = -1;
  const out: Uint8Array[] = [];
  try {
    for await (const bytes of inflate(pieces, (count) => {
      taken = count;
    }))
      out.push(bytes);
  } catch (error) {
    return (error as Error).message;
  }
  return { taken, bytes: Buffer.from(join(...out)).toString('latin1') };
}

async function* cut(bytes: Uint8Array, length: () => number): AsyncGenerator<Uint8Array> {
  for (let at = 0, step = 0; at < bytes.length; at += step) {
    step = length();
    yield bytes.subarray(at, at + step);
  }
}
const whole = (bytes: Uint8Array) => cut(bytes, () => bytes.length);

/** Bytes of every kind: they make blocks with codes of their own, with the fixed ones, and stored ones. */
function material(random: Random): Uint8Array {
  switch (random.whole(0, 4)) {
    case 0:
      return program(random, random.whole(6, 3000));
    case 1:
      return noise(random, random.whole(0, 90_000));
    case 2:
      return new Uint8Array(random.whole(0, 400_000)).fill(random.whole(0, 255));
    case 3:
      // From a few values, so that some codes are long.
      return Uint8Array.from({ length: random.whole(0, 90_000) }, () => Math.floor(255 * random.next() ** 9));
    default:
      return join(noise(random, 40_000), program(random, 900), new Uint8Array(70_000), noise(random, 9));
  }
}

const pack = (random: Random, bytes: Uint8Array): Uint8Array =>
  deflateRawSync(bytes, {
    level: random.whole(0, 9),
    memLevel: random.whole(1, 9),
    strategy: random.pick([
      constants.Z_DEFAULT_STRATEGY,
      constants.Z_FILTERED,
      constants.Z_HUFFMAN_ONLY,
      constants.Z_RLE,
      constants.Z_FIXED,
    ]),
  });

describe('the inflater for browsers', () => {
  it('undoes what zlib packs in any way, cut anywhere, and tells where it ended', async () => {
    for (let seed = 0; seed < share(80); seed++) {
      const random = randomOf(seed);
      const bytes = material(random);
      const packed = pack(random, bytes);
      const behind = noise(random, random.pick([0, 1, 8, 3000]));
      const longest = random.pick([1, 7, 1000, 1 << 18]);
      const pieces = cut(join(packed, behind), () => random.whole(1, longest));
      const found = await outcome(pakoInflate, pieces);
      expect(found, `seed ${seed}`).toEqual({ taken: packed.length, bytes: Buffer.from(bytes).toString('latin1') });
    }
  });

  it('says of damaged streams what zlib says', async () => {
    let refused = 0;
    for (let seed = 0; seed < share(1500); seed++) {
      const random = randomOf(seed);
      const bytes = random.chance(0.5) ? program(random, random.whole(6, 60)) : noise(random, random.whole(0, 300));
      const damaged = random.chance(0.1) ? noise(random, 60) : mutated(random, pack(random, bytes));
      let expected: unknown;
      try {
        const { buffer, engine } = inflateRawSync(damaged, { info: true }) as unknown as {
          readonly buffer: Buffer;
          readonly engine: { readonly bytesWritten: number };
        };
        expected = { taken: engine.bytesWritten, bytes: buffer.toString('latin1') };
      } catch (error) {
        expected = (error as Error).message;
        refused++;
      }
      expect(await outcome(pakoInflate, whole(damaged)), `seed ${seed}`).toEqual(expected);
    }
    expect(refused).toBeGreaterThan(fewest(300));
    expect(refused).toBeLessThan(share(1400));
  });

  it('refuses a stream cut short, wherever', async () => {
    const packed = deflateRawSync(program(randomOf(3), 40));
    for (let length = 0; length < packed.length; length++)
      expect(await outcome(pakoInflate, whole(packed.subarray(0, length))), `${length}`).toBe('unexpected end of file');
  });

  it('reads no further than it is asked, and lets its source go', async () => {
    let asked = 0;
    let closed = false;
    const packed = deflateRawSync(new Uint8Array(50_000_000));
    const pieces = (async function* () {
      try {
        for await (const piece of cut(packed, () => 1000)) {
          asked++;
          yield piece;
        }
      } finally {
        closed = true;
      }
    })();
    for await (const bytes of pakoInflate(pieces)) {
      expect(bytes.length).toBeLessThan(200_000);
      break;
    }
    expect(closed).toBe(true);
    expect(asked).toBeLessThan(5);
  });

  it('unpacks what is asked for and no more, however much there is in one piece', async () => {
    const packed = deflateRawSync(new Uint8Array(50_000_000));
    const left = pakoInflate(whole(packed))[Symbol.asyncIterator]();
    let length = 0;
    for (let more = await left.next(); !more.done; more = await left.next()) {
      // It lies in memory of its own, and nothing else does.
      expect(more.value.buffer.byteLength).toBeLessThan(200_000);
      length += more.value.length;
    }
    expect(length).toBe(50_000_000);
  });
});

const BOTH = [
  ['in Node', nodeInflate],
  ['in a browser', pakoInflate],
] as const;

describe.each(BOTH)('inflating %s', (_, inflate) => {
  const text = Buffer.from('G1 X1 Y2 E3\n'.repeat(100_000));
  const packed = deflateRawSync(text);

  it('gives all, and tells how much it took, whatever follows', async () => {
    for (const size of [1, 1000, packed.length]) {
      const pieces = cut(join(packed, utf8('what follows')), () => size);
      expect(await outcome(inflate, pieces)).toEqual({ taken: packed.length, bytes: text.toString('latin1') });
    }
  });

  it('rejects with what its source rejects with', async () => {
    const failing = (async function* () {
      yield packed.subarray(0, 2);
      throw new Error('the disk reports a fault');
    })();
    const all = async () => {
      for await (const _ of inflate(failing));
    };
    await expect(all()).rejects.toThrow('the disk reports a fault');
  });

  it('may be left before its end', async () => {
    for await (const piece of inflate(cut(packed, () => 500))) {
      expect(piece.length).toBeGreaterThan(0);
      break;
    }
  });
});

describe.each(BOTH)('packages %s', (_, inflate) => {
  const read = async (bytes: Uint8Array) => {
    const listed = await listPackage(sourceOf(bytes), inflate);
    if (!listed.ok) return listed.message;
    const out: Uint8Array[] = [];
    try {
      for await (const piece of entryBytes(sourceOf(bytes), listed.programs[0] ?? never(), inflate)) out.push(piece);
    } catch (error) {
      return (error as Error).message;
    }
    return Buffer.from(join(...out)).toString('latin1');
  };
  const never = () => {
    throw new Error('there is no program');
  };
  const parts = [program(randomOf(1), 5000), program(randomOf(2), 9), utf8('M84\n'), new Uint8Array(0)];

  it('a gzip file of several members, one after another', async () => {
    const expected = Buffer.from(join(...parts)).toString('latin1');
    expect(await read(members(...parts))).toBe(expected);
    expect(await read(join(members(...parts), new Uint8Array(777)))).toBe(expected);
  });

  it('a member that is damaged, and what is no member', async () => {
    const bad = members(...parts).slice();
    bad[bad.length - 30] = (bad[bad.length - 30] as number) ^ 255;
    expect(await read(bad)).toMatch(/is damaged|no gzip/);
    expect(await read(join(members(...parts), utf8('M84\n')))).toMatch(/bytes follow that are no gzip/);
  });

  it('packed data of a zip that end before they should', async () => {
    const bytes = parts[0] as Uint8Array;
    const packed = join(deflateRawSync(bytes), new Uint8Array(5));
    expect(await read(zip([{ name: 'a.gcode', bytes, packed }]))).toMatch(/its packed data end after/);
  });
});

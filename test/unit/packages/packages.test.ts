import { describe, expect, it } from 'vitest';
import { inflate } from '../../../server/src/nodeFiles.ts';
import { crc32 } from '../../../server/src/packages/crc32.ts';
import { pakoInflate } from '../../../server/src/packages/inflate.ts';
import {
  entryBytes,
  LIMITS,
  listPackage,
  type PackageEntry,
  type PackageLimits,
  proposedName,
  recognise,
} from '../../../server/src/packages/package.ts';
import { type ByteSource, type Inflate, sourceOf } from '../../../server/src/packages/source.ts';
import {
  anyPackage,
  byteCrc,
  join,
  members,
  mutated,
  named,
  noise,
  type Part,
  plainCrc,
  program,
  type Shape,
  utf8,
  zip,
} from '../../program/packages.ts';
import { fewest, share } from '../../quick/share.ts';
import { randomOf } from '../analyze/random.ts';

const CODE = utf8('G28\nM104 S210\nG1 X10 Y10 F3000\n');
const ok = (name: string, more: Partial<Part> = {}): Part => ({ name, bytes: CODE, ...more });

const list = (bytes: Uint8Array, limits: PackageLimits = LIMITS) => listPackage(sourceOf(bytes), inflate, limits);

/** The entries; a package that is refused fails the test with its message. */
async function entriesOf(bytes: Uint8Array, limits?: PackageLimits): Promise<readonly PackageEntry[]> {
  const listed = await list(bytes, limits);
  if (!listed.ok) throw new Error(listed.message);
  return listed.entries;
}

async function all(bytes: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  for await (const piece of bytes) pieces.push(piece);
  return join(...pieces);
}

const repeated = (bytes: Uint8Array, times: number): Uint8Array =>
  Uint8Array.from({ length: bytes.length * times }, (_, i) => bytes[i % bytes.length] as number);

/** What comes out of an entry, or why nothing does. */
async function outOf(
  bytes: Uint8Array,
  entry: PackageEntry,
  limits: PackageLimits = LIMITS,
): Promise<Uint8Array | string> {
  return all(entryBytes(sourceOf(bytes), entry, inflate, limits)).catch((error: Error) => {
    expect(error.name === 'Error' && error.constructor.name).toBe('PackageError');
    return error.message;
  });
}

/** The first message that a person meets who wants the first entry, or null where there is none. */
async function messageOf(bytes: Uint8Array, limits: PackageLimits = LIMITS): Promise<string | null> {
  const listed = await list(bytes, limits);
  if (!listed.ok) return listed.message;
  const entry = listed.entries[0];
  if (!entry) return null;
  const out = await outOf(bytes, entry, limits);
  return typeof out === 'string' ? out : null;
}

describe('CRC-32', () => {
  it('is what the polynomial gives bit by bit, in one piece and in several', () => {
    const random = randomOf(1);
    for (let i = 0; i < 300; i++) {
      const bytes = noise(random, random.whole(0, 100));
      const cut = random.whole(0, bytes.length);
      expect(crc32(bytes)).toBe(plainCrc(bytes));
      expect(byteCrc(bytes)).toBe(plainCrc(bytes));
      expect(crc32(bytes.subarray(cut), crc32(bytes.subarray(0, cut)))).toBe(plainCrc(bytes));
    }
  });
});

describe('what a file is', () => {
  it.each<[string, Uint8Array, string]>([
    ['nothing', new Uint8Array(0), 'empty'],
    ['a program', CODE, 'text'],
    ['a blank', utf8('\n'), 'text'],
    ['a zip', zip([ok('a')]), 'zip'],
    ['an empty zip', zip([]), 'zip'],
    ['a zip behind a text', zip([ok('a')], { prefix: CODE }), 'zip'],
    ['a zip behind binary bytes', zip([ok('a')], { prefix: new Uint8Array(3000) }), 'zip'],
    ['gzip', members(CODE), 'gzip'],
    ['NULs', new Uint8Array(100), 'binary'],
    ['a text that speaks of zips', utf8(`; PK\u0005\u0006 is how a zip ends\n${'G28\n'.repeat(200)}`), 'text'],
    ['UTF-16 with a mark', new Uint8Array([0xff, 0xfe, 0x47, 0, 0x32, 0, 0x38, 0]), 'text'],
    ['UTF-16 without one', Uint8Array.from('G28\nM104 S200\n'.split('').flatMap((c) => [c.charCodeAt(0), 0])), 'text'],
    ['windows-1252', Uint8Array.from([...utf8('; gr'), 0xf6, 0xdf, ...utf8('er\nG28\n')]), 'text'],
    ['one stray NUL in a long text', join(utf8('G1 X1\n'.repeat(100)), new Uint8Array(1)), 'text'],
    ['noise', noise(randomOf(7), 5000), 'binary'],
  ])('%s', async (_, bytes, kind) => {
    expect(await recognise(sourceOf(bytes))).toBe(kind);
  });

  it.each<[string, string | Uint8Array, string, boolean]>([
    ['a program under any name', CODE, 'program', true],
    [
      'a program with a megabyte of remarks first',
      `${'; iVBORw0KGgo\n'.repeat(60_000)}G28\nG1 X1 Y1\n`,
      'program',
      true,
    ],
    [
      'more remarks than are looked at',
      join(...Array.from({ length: 90_000 }, (_, i) => utf8(`; ${i * 7919}\n`)), CODE),
      'program',
      true,
    ],
    ['only remarks', '; nothing\n; at all\n', 'text', false],
    ['numbered lines with sums', 'N1 G28*18\nN2 G1 X5 Y5*44\n', 'program', true],
    ['named commands between', 'STEEP_BED MINUTES=5\nG28\nX10 Y10\nG1 X1\n', 'program', true],
    ['prose', 'Take the part off while the bed is warm.\nG28 first.\nThen wait.\n', 'text', false],
    ['settings', 'slab = 0.24\ncoats = 3\n', 'text', false],
    ['XML', '<?xml version="1.0"?>\n<model/>', 'XML', false],
    ['a picture', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0]), 'picture', false],
    ['nothing', '', 'empty file', false],
    ['a package in a package', zip([ok('a')]), 'zip package', false],
  ])('inside a package: %s', async (_, content, what, isProgram) => {
    const bytes = typeof content === 'string' ? utf8(content) : content;
    const [entry] = await entriesOf(zip([{ name: 'thing.dat', bytes }]));
    expect(entry).toMatchObject({ what, program: isProgram, problem: null });
  });
});

describe('what is in a package', () => {
  it('names, sizes, dates, the largest program first', async () => {
    const big = program(randomOf(3), 300);
    const listed = await list(
      zip([ok('a/small.txt'), { name: 'a/', bytes: utf8(''), method: 0 }, { name: 'a/big', bytes: big }]),
    );
    if (!listed.ok) throw new Error(listed.message);
    expect(listed.what).toBe('zip package');
    expect(listed.entries.map((e) => [e.name, e.size, e.what])).toEqual([
      ['a/small.txt', CODE.length, 'program'],
      ['a/', 0, 'folder'],
      ['a/big', big.length, 'program'],
    ]);
    expect(listed.entries[0]?.date).toBe('2026-05-14T13:24:10');
    expect(listed.programs.map((e) => e.name)).toEqual(['a/big', 'a/small.txt']);
  });

  it('random packages in every allowed form come out byte for byte', async () => {
    let read = 0;
    for (let seed = 0; seed < share(150); seed++) {
      const { bytes, parts, shape } = anyPackage(randomOf(seed));
      if (parts.length === 0 && shape.prefix) continue; // an end record alone behind other bytes tells of no package
      const entries = await entriesOf(bytes);
      expect(
        entries.map((e) => e.name),
        `seed ${seed}`,
      ).toEqual(parts.map((p) => p.name));
      for (const [i, entry] of entries.entries()) {
        const out = await outOf(bytes, entry);
        expect(
          typeof out === 'string' ? out : Buffer.from(out).equals(Buffer.from((parts[i] as Part).bytes)),
          `seed ${seed}`,
        ).toBe(true);
        read++;
      }
    }
    expect(read).toBeGreaterThan(fewest(300));
  });

  it('an OPC package and a 3MF package by their own parts, a zip named like one not', async () => {
    const types = (model: string) =>
      `<?xml version="1.0"?><!-- <Default Extension="gcode" ContentType="wrong"/> --><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default ContentType='text/x-gcode' Extension='GCode' /><Override PartName="/3D/part.model" ContentType="${model}"/></Types>`;
    const rels =
      '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/part.model" Id="r0" Type="any"/></Relationships>';
    const build = (model: string) =>
      zip([
        { name: '[Content_Types].xml', bytes: utf8(types(model)) },
        { name: '_rels/.rels', bytes: utf8(rels) },
        { name: '3D/part.model', bytes: utf8('<model/>') },
        ok('Metadata/plate.gcode'),
      ]);
    const of = async (model: string) => {
      const listed = await list(build(model));
      if (!listed.ok) throw new Error(listed.message);
      return listed;
    };
    // Content type: 3MF Core Specification 1.4.0, appendix C.
    const job = await of('application/vnd.ms-package.3dmanufacturing-3dmodel+xml');
    expect(job.what).toBe('3MF package');
    expect(job.entries.map((e) => e.type).slice(2)).toEqual([
      'application/vnd.ms-package.3dmanufacturing-3dmodel+xml',
      'text/x-gcode',
    ]);
    expect(job.programs.map((e) => e.name)).toEqual(['Metadata/plate.gcode']);
    expect((await of('application/xml')).what).toBe('OPC package');
    expect(await list(zip([ok('3D/part.model')]))).toMatchObject({ what: 'zip package' });
  });

  it('names in code page 437 where they are no UTF-8, and nothing that moves a cursor', async () => {
    const [entry] = await entriesOf(zip([{ name: new Uint8Array([0x67, 0x72, 0x94, 0xe1]), bytes: CODE }]));
    expect(entry?.name).toBe('größ');
    const [odd] = await entriesOf(zip([ok('a\u001b[2J\u202eb.gcode')]));
    expect(odd?.name).toBe('a\ufffd[2J\ufffdb.gcode');
  });

  it.each([
    ['../../etc/plate.gcode', 'plate.gcode'],
    ['C:\\jobs\\batch?.gcode', 'batch_.gcode'],
    ['con', '_con'],
    ['nul.gcode', '_nul.gcode'],
    // Spaces at the end of a name, and before its ending, are dropped on Windows ("Naming Files", Microsoft Learn).
    ['CON ', '_CON'],
    ['NUL .gcode', '_NUL .gcode'],
    ['  aux  .part.gcode', '_aux  .part.gcode'],
    ['COM\u00b9.gcode', '_COM\u00b9.gcode'],
    ['conout$ .gcode', '_conout$ .gcode'],
    ['console.gcode', 'console.gcode'],
    ['nul plate.gcode', 'nul plate.gcode'],
    ['..', 'program.gcode'],
    ['', 'program.gcode'],
    ['job/', 'program.gcode'],
    [`${'n'.repeat(500)}.gcode`, `${'n'.repeat(114)}.gcode`],
    [' größe.gcode. ', 'größe.gcode'],
  ])('the file name proposed for "%.30s" is plain', (name, proposed) => {
    expect(proposedName(name)).toBe(proposed);
  });

  it('a package that is none says what it is', async () => {
    expect(await messageOf(CODE)).toMatch(/plain text.*Check it as it is/);
    expect(await messageOf(new Uint8Array(0))).toMatch(/empty: it has 0 bytes/);
    expect(await messageOf(new Uint8Array(500))).toMatch(/no package that Bookend knows/);
  });
});

describe('gzip', () => {
  it('one member with a name and a time', async () => {
    const bytes = named('plate.gcode', CODE, 1_778_764_800);
    const [entry] = await entriesOf(bytes);
    expect(entry).toMatchObject({ name: 'plate.gcode', size: CODE.length, what: 'program', program: true });
    expect(entry?.date).toBe('2026-05-14T13:20:00Z');
    expect(await outOf(bytes, entry as PackageEntry)).toEqual(CODE);
  });

  it('several members, and zeros that fill up a block', async () => {
    const parts = [program(randomOf(1), 500), CODE, program(randomOf(2), 9000)];
    const bytes = join(members(...parts), new Uint8Array(777));
    const [entry] = await entriesOf(members(...parts));
    const out = await outOf(bytes, { ...(entry as PackageEntry), packed: bytes.length });
    expect(out).toEqual(join(...parts));
  });

  it.each<[string, (bytes: Uint8Array) => Uint8Array, RegExp]>([
    ['cut short', (b) => b.subarray(0, b.length - 20), /damaged|cut short/],
    ['cut in its header', (b) => b.subarray(0, 8), /cut short after 8 bytes/],
    ['another CRC', (b) => b.map((byte, i) => (i === b.length - 8 ? byte ^ 1 : byte)), /CRC-32/],
    ['another size', (b) => b.map((byte, i) => (i === b.length - 4 ? byte ^ 1 : byte)), /its end says/],
    ['other data', (b) => b.map((byte, i) => (i > 40 && i < 60 ? byte ^ 0x5a : byte)), /damaged/],
    ['more behind it', (b) => join(b, CODE), /bytes follow that are no gzip|damaged/],
    ['unknown flags', (b) => b.map((byte, i) => (i === 3 ? 0xe0 : byte)), /does not know/],
  ])('%s', async (_, spoil, message) => {
    expect(await messageOf(spoil(named('a', program(randomOf(5), 200))))).toMatch(message);
  });
});

const S_IFLNK = 0o120777;

describe('packages that are not read, each with its own message', () => {
  it.each<[string, readonly Part[], Shape, RegExp]>([
    ['encrypted', [ok('a', { flags: 1 })], {}, /"a" is encrypted.*asks for no passwords/],
    ['strongly encrypted', [ok('a', { flags: 0x41 })], {}, /encrypted/],
    ['encrypted by method 99', [ok('a', { method: 99 })], {}, /encrypted/],
    ['an encrypted list', [ok('a', { flags: 0x2000 })], {}, /encrypted/],
    ['bzip2', [ok('a', { method: 12 })], {}, /method 12 \(bzip2\).*only 0 \(stored\) and 8 \(deflate\)/],
    ['a method that nobody knows', [ok('a', { method: 77 })], {}, /method 77,/],
    ['a piece of several, by its end', [ok('a')], { lies: { disk: 2 } }, /one piece of several/],
    ['a piece of several, by its end, large', [ok('a')], { zip64: true, lies: { disk: 2 } }, /one piece of several/],
    ['a piece of several, by an entry', [ok('a', { lies: { disk: 3 } })], {}, /another piece/],
    ['..', [ok('job/../../a')], {}, /climbs out of the folder with "\.\."/],
    ['.. with backslashes', [ok('..\\a')], {}, /climbs out/],
    ['an absolute name', [ok('/etc/a')], {}, /is absolute/],
    ['an absolute name on a server', [ok('\\\\host\\a')], {}, /is absolute/],
    ['a drive', [ok('c:a')], {}, /begins with a drive \("c:"\)/],
    ['a NUL in a name', [ok('a.gcode\0.txt')], {}, /holds a NUL/],
    ['a link', [ok('a', { mode: S_IFLNK, method: 0 })], {}, /is a link to another file, and links are not followed/],
    ['a device', [ok('a', { mode: 0o020644 })], {}, /said to be a device/],
    ['another name beside the data', [ok('a', { lies: { localName: 'b' } })], {}, /it is named "b"/],
    ['a longer name beside the data', [ok('a', { lies: { localName: 'a.gcode' } })], {}, /it is named "a\.gcode"/],
    ['another method beside the data', [ok('a', { lies: { localMethod: 0 } })], {}, /method 8 by the list, with 0/],
    ['another size beside the data', [ok('a', { lies: { localSize: 7 } })], {}, /size or checksum/],
    ['a wrong CRC', [ok('a', { lies: { crc: 0xdeadbeef } })], {}, /CRC-32 .* and should have deadbeef/],
    ['a size too small', [ok('a', { lies: { size: 5 } })], {}, /more than the 5 bytes/],
    ['a size too large', [ok('a', { lies: { size: 99 } })], {}, /31 of 99 bytes/],
    ['stored with two sizes', [ok('a', { method: 0, lies: { size: 99 } })], {}, /takes? 31 bytes for 99/],
    [
      'packed data that end early',
      [
        ok('a', {
          packed: join(new Uint8Array([0x73, 0x37, 0xb2, 0xe0, 2, 0]), noise(randomOf(1), 30)),
          lies: { size: 4, crc: 0xf722db83 },
        }),
      ],
      {},
      /packed data end after 6 of 36 bytes/,
    ],
    [
      'entries over one another',
      [ok('a'), ok('b', { lies: { offset: 0 } })],
      {},
      /"a" and "b" lie over one another|"b" and "a" lie over/,
    ],
    ['an entry beyond the end', [ok('a', { lies: { packed: 5000 } })], {}, /should end at byte/],
    [
      'more entries said than there are',
      [ok('a')],
      { lies: { entries: 3 } },
      /holds 3 entries, but its list of them breaks off after 1/,
    ],
    ['fewer entries said than there are', [ok('a'), ok('b')], { lies: { entries: 1 } }, /goes on after the 1 entries/],
    ['a name of 60,000 bytes', [ok('n'.repeat(60_000))], {}, /60,000 bytes long, more than the 1,024/],
    [
      'unpacks to 100 GB by its own word',
      [ok('a', { zip64: true, lies: { size: 100e9 } })],
      {},
      /unpacks to 100 GB, more than the 8\.0 GB/,
    ],
    [
      'unpacks to more than numbers can hold',
      [ok('a', { zip64: true, lies: { size: 2 ** 63 } })],
      {},
      /unpacks to .* TB, more than/,
    ],
    ['a ratio of a thousand by its own word', [ok('a', { bytes: new Uint8Array(5e6) })], {}, /over 250 times/],
  ])('%s', async (_, parts, shape, message) => {
    const found = await messageOf(zip(parts, shape));
    expect(found).toMatch(message);
    expect(found).toMatch(/^[A-Z].*\.$/s);
    expect(found?.length).toBeLessThan(700);
  });

  it('one bad entry does not hide the good ones', async () => {
    const bytes = zip([ok('../a'), ok('b', { method: 14 }), ok('c', { flags: 1 }), ok('d.gcode')]);
    const entries = await entriesOf(bytes);
    expect(entries.map((e) => e.problem === null)).toEqual([false, false, false, true]);
    expect(await outOf(bytes, entries[3] as PackageEntry)).toEqual(CODE);
    expect(entries[0]?.program).toBe(false);
  });

  it.each(['signed', 'unsigned', 'zip64', 'unsigned zip64'])(
    'what follows the data, %s: it must be what the list says',
    async (form) => {
      const part = { streamed: true, unsigned: form.includes('unsigned'), zip64: form.includes('zip64') };
      const of = async (descriptor: NonNullable<Part['lies']>['descriptor']) => {
        const bytes = zip([ok('a.gcode', { ...part, lies: { descriptor } }), ok('b.gcode')]);
        return outOf(bytes, (await entriesOf(bytes))[0] as PackageEntry);
      };
      expect(await of({})).toEqual(CODE);
      for (const lie of [{ crc: 7 }, { size: CODE.length + 1 }, { packed: 1 }, { size: CODE.length - 1 }, null])
        expect(await of(lie)).toMatch(
          /"a\.gcode" is not read: the sizes and checksum behind its data are missing, or are not those of the package's list \(31 bytes\)/,
        );
    },
  );

  it('backslashes between folders are told, and read', async () => {
    const [entry] = await entriesOf(zip([ok('job\\plate.gcode')]));
    expect(entry).toMatchObject({ problem: null, program: true });
    expect(entry?.caution).toMatch(/no folder is made/);
  });

  it('cut at any byte: a message, never a wrong byte', async () => {
    const whole = zip([ok('a/plate.gcode'), ok('b', { streamed: true })], { comment: utf8('made by hand') });
    for (let end = 4; end < whole.length; end++) {
      const listed = await list(whole.subarray(0, end));
      if (listed.ok) throw new Error(`cut at ${end}: ${JSON.stringify(listed.entries)}`);
      expect(listed.message).toMatch(/cut short|damaged/);
    }
  });

  it('bytes missing at its beginning are counted', async () => {
    const whole = zip([{ name: 'a', bytes: program(randomOf(1), 300), method: 0 }, ok('b')]);
    expect(await messageOf(join(whole.subarray(0, 4), whole.subarray(100)))).toMatch(/96 bytes are missing/);
  });
});

/** Reads of a source are counted, and its bytes may be made on the way. */
function watched(inner: ByteSource) {
  const seen = { bytes: 0, most: 0 };
  const source: ByteSource = {
    size: inner.size,
    async read(offset, length) {
      const bytes = await inner.read(offset, length);
      seen.bytes += bytes.length;
      seen.most = Math.max(seen.most, bytes.length);
      return bytes;
    },
  };
  return { source, seen };
}

describe('more than there should be', () => {
  it('what unpacks to more than is said, or is allowed, is stopped there', async () => {
    const zeros = { name: 'a', bytes: new Uint8Array(20e6) };
    const count = async (bytes: Uint8Array, limits: PackageLimits) => {
      const [entry] = await entriesOf(bytes, { ...limits, looks: 0 });
      let got = 0;
      let message = '';
      try {
        for await (const piece of entryBytes(sourceOf(bytes), entry as PackageEntry, inflate, limits))
          got += piece.length;
      } catch (error) {
        message = (error as Error).message;
      }
      return { got, message };
    };
    const free = { ...LIMITS, ratio: 1e9 };
    expect(await count(zip([zeros]), free)).toEqual({ got: 20e6, message: '' });
    const less = await count(zip([{ ...zeros, lies: { size: 100_000 } }]), free);
    expect(less.message).toMatch(/more than the 100,000 bytes/);
    expect(less.got).toBeLessThanOrEqual(100_000);
    const tight = await count(members(zeros.bytes), { ...free, size: 1e6 });
    expect(tight.message).toMatch(/more than the 1\.0 MB that are read/);
    expect(tight.got).toBeLessThanOrEqual(1e6);
    const ratio = await count(members(zeros.bytes), LIMITS);
    expect(ratio.message).toMatch(/over 250 times/);
    expect(ratio.got).toBeLessThan(6e6);
  });

  describe.each([
    ['zlib', inflate],
    ['pako', pakoInflate],
  ])('packed bytes and what comes of them are weighed as they pass (%s)', (_, undo) => {
    // 10 MB of zeros pack to 10 kB. With the noise behind them the whole stays below 40 times.
    const burst = new Uint8Array(10e6);
    const ballast = noise(randomOf(3), 300_000);
    const stopped = async (bytes: Uint8Array) => {
      const listed = await listPackage(sourceOf(bytes), undo, { ...LIMITS, looks: 0 });
      if (!listed.ok) return { got: 0, message: listed.message };
      let got = 0;
      try {
        for await (const piece of entryBytes(sourceOf(bytes), listed.entries[0] as PackageEntry, undo, LIMITS))
          got += piece.length;
      } catch (error) {
        return { got, message: (error as Error).message };
      }
      return { got, message: '' };
    };
    it.each<[string, Uint8Array]>([
      ['a member that bursts, then one that does not', members(burst, ballast)],
      ['one member whose beginning bursts', members(join(burst, ballast))],
      ['an entry whose beginning bursts', zip([{ name: 'a', bytes: join(burst, ballast) }])],
    ])('%s', async (_, bytes) => {
      expect(burst.length).toBeLessThan(40 * bytes.length);
      const { got, message } = await stopped(bytes);
      expect(message).toMatch(/over 250 times, as only a file made to fill a disk/);
      expect(got).toBeLessThan(4e6);
    });

    it('what is earned before it bursts counts, and stored bytes are what they are', async () => {
      const fair = join(ballast, burst);
      expect(await stopped(members(fair))).toEqual({ got: fair.length, message: '' });
      expect(await stopped(zip([{ name: 'a', bytes: fair }]))).toEqual({ got: fair.length, message: '' });
      expect(await stopped(zip([{ name: 'a', bytes: burst, method: 0 }]))).toEqual({ got: 10e6, message: '' });
    });

    it('gzip members are counted, and one inflater at most is at work', async () => {
      let live = 0;
      let most = 0;
      let made = 0;
      const counting: Inflate = async function* (chunks, consumed) {
        made++;
        most = Math.max(most, ++live);
        try {
          yield* undo(chunks, consumed);
        } finally {
          live--;
        }
      };
      const limits = { ...LIMITS, members: 300 };
      const read = async (count: number): Promise<string> => {
        const bytes = join(members(CODE), repeated(members(new Uint8Array(0)), count - 1));
        const listed = await listPackage(sourceOf(bytes), counting, limits);
        if (!listed.ok) return listed.message;
        const pieces = entryBytes(sourceOf(bytes), listed.entries[0] as PackageEntry, counting, limits);
        return Buffer.from(await all(pieces)).toString();
      };
      expect(await read(300)).toBe(Buffer.from(CODE).toString());
      made = 0;
      expect(await read(20_000)).toMatch(
        /more than 300 members \(parts that are packed one by one\).*raise the limit\./,
      );
      expect({ live, most, made }).toEqual({ live: 0, most: 1, made: 300 });
    });
  });

  it('of a small gzip member no more is read than it has, a few times over', async () => {
    const bytes = repeated(members(CODE), 2000);
    const { source, seen } = watched(sourceOf(bytes));
    const [entry] = await entriesOf(bytes);
    let got = 0;
    for await (const piece of entryBytes(source, entry as PackageEntry, inflate, LIMITS)) got += piece.length;
    expect(got).toBe(2000 * CODE.length);
    expect(seen.bytes).toBeLessThan(4 * bytes.length);
  });

  it('100,000 entries: counted, not read; read where the limit allows it', async () => {
    const parts = Array.from({ length: 100_000 }, (_, i): Part => ({ name: `p/${i}.gcode`, bytes: CODE, method: 0 }));
    const bytes = zip(parts, { zip64: true });
    const { source, seen } = watched(sourceOf(bytes));
    const refused = await listPackage(source, inflate);
    expect(refused).toMatchObject({
      ok: false,
      message: expect.stringMatching(/100,000 entries, more than the 10,000/),
    });
    expect(seen.bytes).toBeLessThan(300_000);
    const before = process.memoryUsage().heapUsed;
    const listed = await list(bytes, { ...LIMITS, entries: 200_000 });
    if (!listed.ok) throw new Error(listed.message);
    expect(listed.entries.length).toBe(100_000);
    expect(listed.programs.length).toBe(LIMITS.looks);
    expect(listed.entries.filter((e) => e.what === 'not looked into').length).toBe(100_000 - LIMITS.looks);
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(200e6);
  });

  it('names of 60,000 bytes, thousands of them, are not kept', async () => {
    const long = 'n'.repeat(60_000);
    const bytes = zip(Array.from({ length: 500 }, (_, i) => ok(`${i}${long}`, { method: 0 })));
    const { source, seen } = watched(sourceOf(bytes));
    const listed = await listPackage(source, inflate);
    if (!listed.ok) throw new Error(listed.message);
    expect(Math.max(...listed.entries.map((e) => e.name.length))).toBeLessThan(250);
    expect(seen.most).toBeLessThan(500_000);
  });

  it('a 100 GB file with a package at its end is read from its end', async () => {
    const small = zip([ok('a.gcode', { zip64: true })]);
    const before = 100e9;
    const huge: ByteSource = {
      size: before + small.length,
      async read(offset, length) {
        const at = Math.max(0, Math.min(length, this.size - offset));
        const out = new Uint8Array(at);
        for (let i = Math.max(0, before - offset); i < at; i++) out[i] = small[offset + i - before] as number;
        return out;
      },
    };
    const listed = await listPackage(huge, inflate);
    expect(listed).toMatchObject({ ok: true, programs: [{ name: 'a.gcode' }] });
  });
});

describe('a source that fails', () => {
  it('its own words are told, and nothing rejects but the bytes', async () => {
    const whole = zip([ok('a')]);
    const listed = await list(whole);
    if (!listed.ok) throw new Error(listed.message);
    const gone = async (): Promise<Uint8Array> => {
      throw new Error('the stick was pulled out');
    };
    expect(await listPackage({ size: 900, read: gone }, inflate)).toEqual({
      ok: false,
      message: 'The package cannot be read: the stick was pulled out.',
    });
    const entry = listed.entries[0] as PackageEntry;
    await expect(all(entryBytes({ size: whole.length, read: gone }, entry, inflate))).rejects.toThrow(/pulled out/);
    // In the middle of the data, by way of the inflater.
    let reads = 0;
    const later: ByteSource = {
      size: whole.length,
      read: (o, l) => (reads++ < 2 ? sourceOf(whole).read(o, l) : gone()),
    };
    await expect(all(entryBytes(later, entry, inflate))).rejects.toThrow(/^The package cannot be read: the stick/);
  });

  it('a file that became shorter is told', async () => {
    const whole = zip([{ name: 'a', bytes: program(randomOf(2), 3000), method: 0 }]);
    const [entry] = await entriesOf(whole);
    await expect(all(entryBytes(sourceOf(whole.subarray(0, 5000)), entry as PackageEntry, inflate))).rejects.toThrow(
      /cut short/,
    );
  });
});

// What nobody thought of: never a crash, never a hang, never more out than allowed, and only bytes with their own CRC.
const RUNS = Number(process.env.BOOKEND_PACKAGES ?? share(800));

describe('any bytes at all', () => {
  it(`${RUNS} changed packages: a message or the right bytes`, async () => {
    const limits: PackageLimits = { ...LIMITS, size: 1e6 };
    let whole = 0;
    let refused = 0;
    for (let seed = 0; seed < RUNS; seed++) {
      const random = randomOf(seed);
      const made = random.chance(0.15) ? members(program(random, 50), program(random, 9)) : anyPackage(random).bytes;
      const bytes = random.chance(0.1) ? noise(random, random.whole(0, 400)) : mutated(random, made);
      const listed = await list(bytes, limits);
      if (!listed.ok) {
        expect(listed.message, `seed ${seed}`).toMatch(/^[A-Z].*\.$/s);
        refused++;
        continue;
      }
      for (const entry of listed.entries) {
        const out = await outOf(bytes, entry, limits);
        if (typeof out === 'string') {
          expect(out, `seed ${seed}`).toMatch(/^[A-Z].*\.$/s);
          refused++;
        } else {
          expect(out.length).toBeLessThanOrEqual(limits.size);
          if (entry.place.packing === 'zip') expect(plainCrc(out), `seed ${seed}`).toBe(entry.place.crc);
          whole++;
        }
      }
    }
    expect(whole).toBeGreaterThan(RUNS / 20);
    expect(refused).toBeGreaterThan(RUNS / 20);
  });
});

import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { inflate } from '../../server/src/nodeFiles.ts';
import { crc32 } from '../../server/src/packages/crc32.ts';
import { entryBytes, LIMITS, listPackage, type PackageEntry } from '../../server/src/packages/package.ts';
import { sourceOf } from '../../server/src/packages/source.ts';
import { anyPackage, members, mutated, program } from '../program/packages.ts';
import { randomOf } from '../unit/analyze/random.ts';
import { CASES } from './support.ts';

// Rows crc32-* and zip-* of cases.json (PKWARE APPNOTE 6.3.x, Python's zipfile; the source stands in each row), then
// packages made and read by other programs: zip, unzip, gzip, Python.

const bytesOf = (hex: string): Uint8Array => new Uint8Array(Buffer.from(hex, 'hex'));

async function all(bytes: Uint8Array, entry: PackageEntry): Promise<Buffer> {
  const pieces: Uint8Array[] = [];
  for await (const piece of entryBytes(sourceOf(bytes), entry, inflate)) pieces.push(piece);
  return Buffer.concat(pieces);
}

async function listed(bytes: Uint8Array) {
  const found = await listPackage(sourceOf(bytes), inflate);
  if (!found.ok) throw new Error(found.message);
  return found;
}

const sums = CASES.filter(({ id }) => id.startsWith('crc32-'));
const zips = CASES.filter(({ id }) => id.startsWith('zip-'));

/** What a row's reason must lead to: words of the message. */
const REASONS: Readonly<Record<string, RegExp>> = {
  crc: /CRC-32 .* and should have deadbeef/,
  encrypted: /is encrypted/,
  traversal: /climbs out of the folder/,
  absolute: /is absolute/,
  drive: /begins with a drive/,
};

describe('cases.json', () => {
  it('has the rows', () => {
    expect(sums.length).toBe(5);
    expect(zips.length).toBe(10);
  });

  it.each(sums.map((c) => [c.id, c] as const))('%s', (_, { input, expect: expected }) => {
    expect(crc32(bytesOf(input.bytes_hex)).toString(16).padStart(8, '0')).toBe(expected.crc32);
  });

  it.each(zips.map((c) => [c.id, c] as const))('%s', async (_, { input, expect: expected }) => {
    const bytes = bytesOf(input.zip_hex);
    const found = await listed(bytes);
    if (!expected.ok) {
      const entry = found.entries[0] as PackageEntry;
      await expect(all(bytes, entry)).rejects.toThrow(REASONS[expected.reason] as RegExp);
      return;
    }
    expect(found.entries.map((e) => e.name)).toEqual(expected.entries);
    if (expected.comment) expect(found.comment).toBe(expected.comment);
    if (expected.size) expect(bytes.length).toBe(expected.size);
    for (const entry of found.entries) {
      const out = await all(bytes, entry);
      if (expected.crc32) expect(crc32(out).toString(16)).toBe(expected.crc32);
      if (expected.uncompressed) expect(out.length).toBe(expected.uncompressed);
      if (expected.local_header_at !== undefined) expect(entry.place.offset).toBe(expected.local_header_at);
      if (expected.central_directory_at) expect(entry.place.limit).toBe(expected.central_directory_at);
    }
  });
});

const folder = mkdtempSync(join(tmpdir(), 'bookend-packages-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const has = (command: string, ...args: readonly string[]): boolean => spawnSync(command, args).status === 0;
const hasZip = has('zip', '-v');
const hasUnzip = has('unzip', '-v');
const hasGzip = has('gzip', '--version');
const hasPython = has('python3', '-c', 'import zipfile');

/** Names the program that is missing, so that a skipped test says why. */
const needing = (there: boolean, command: string, what: string): string =>
  there ? what : `${what} (skipped: ${command} is not installed here)`;

const run = (command: string, args: readonly string[], input?: Uint8Array): Buffer =>
  execFileSync(command, args, { cwd: folder, maxBuffer: 1 << 28, ...(input ? { input } : {}) });

const CODE = program(randomOf(11), 4000);

describe('packages by other programs', () => {
  it.skipIf(!hasZip)(needing(hasZip, 'zip', 'zip: folders, a comment, stored, a stream, a link'), async () => {
    mkdirSync(join(folder, 'job/batches'), { recursive: true });
    writeFileSync(join(folder, 'job/batches/one.bin'), CODE);
    writeFileSync(join(folder, 'job/readme'), 'Two walls, one bed.\n');
    run('ln', ['-sf', 'batches/one.bin', 'job/latest.gcode']);
    for (const options of [['-9'], ['-0'], ['-fz'], ['-1', '-X']]) {
      const name = `made${options.join('')}.any`;
      run('zip', ['-q', '-r', '-y', ...options, name, 'job']);
      const bytes = new Uint8Array(readFileSync(join(folder, name)));
      const found = await listed(bytes);
      expect(
        found.programs.map((e) => e.name),
        name,
      ).toEqual(['job/batches/one.bin']);
      expect((await all(bytes, found.programs[0] as PackageEntry)).equals(CODE), name).toBe(true);
      const link = found.entries.find((e) => e.name === 'job/latest.gcode');
      expect(link).toMatchObject({ what: 'link', problem: expect.stringMatching(/not followed/) });
    }
    // To a pipe, so that sizes follow the data.
    const streamed = new Uint8Array(run('zip', ['-q', '-', '-'], CODE));
    const found = await listed(streamed);
    expect(found.entries.map((e) => e.name)).toEqual(['-']);
    expect((await all(streamed, found.entries[0] as PackageEntry)).equals(CODE)).toBe(true);
  });

  it.skipIf(!hasZip)(needing(hasZip, 'zip', 'zip: encrypted, split'), async () => {
    writeFileSync(join(folder, 'plain'), CODE);
    run('zip', ['-q', '-P', 'word', 'locked.zip', 'plain']);
    const locked = await listed(new Uint8Array(readFileSync(join(folder, 'locked.zip'))));
    expect(locked.entries[0]?.problem).toMatch(/is encrypted/);
    writeFileSync(join(folder, 'large'), run('head', ['-c', '200000', '/dev/urandom']));
    run('zip', ['-q', '-s', '64k', 'split.zip', 'large']);
    const split = await listPackage(sourceOf(new Uint8Array(readFileSync(join(folder, 'split.zip')))), inflate);
    expect(split).toMatchObject({ ok: false, message: expect.stringMatching(/one piece of several/) });
  });

  it.skipIf(!hasGzip)(needing(hasGzip, 'gzip', 'gzip: with a name, from a pipe, several members'), async () => {
    writeFileSync(join(folder, 'plate.gcode'), CODE);
    run('gzip', ['-k', '-f', 'plate.gcode']);
    const one = new Uint8Array(readFileSync(join(folder, 'plate.gcode.gz')));
    const piped = new Uint8Array(run('gzip', ['-c', '-1'], CODE));
    for (const [bytes, name, content] of [
      [one, 'plate.gcode', CODE],
      [piped, '', CODE],
      [new Uint8Array(Buffer.concat([one, piped])), 'plate.gcode', Buffer.concat([CODE, CODE])],
    ] as const) {
      const found = await listed(bytes);
      expect(found.programs.map((e) => e.name)).toEqual([name]);
      expect((await all(bytes, found.programs[0] as PackageEntry)).equals(content)).toBe(true);
    }
  });

  it.skipIf(!hasPython)(needing(hasPython, 'python3', 'Python: every form that zipfile writes'), async () => {
    writeFileSync(join(folder, 'code'), CODE);
    // To a file, or to something that cannot go back, so that sizes follow; with and without fields for large files.
    const script = `
import sys, zipfile
class Pipe:
    def __init__(self, f): self.f = f
    def write(self, b): return self.f.write(b)
    def flush(self): self.f.flush()
code = open('code', 'rb').read()
for method in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
    for piped in (0, 1):
        for large in (0, 1):
            with open(f'python-{method}-{piped}-{large}', 'wb') as f:
                if piped: f.write(b'something before')
                with zipfile.ZipFile(Pipe(f) if piped else f, 'w', method) as z:
                    z.comment = b'a comment'
                    for name in ('größe/eins.gcode', 'zwei'):
                        with z.open(name, 'w', force_zip64=bool(large)) as e: e.write(code)
with zipfile.ZipFile('python-bzip2', 'w', zipfile.ZIP_BZIP2) as z: z.writestr('a', code)
with zipfile.ZipFile('python-lzma', 'w', zipfile.ZIP_LZMA) as z: z.writestr('a', code)
with zipfile.ZipFile('python-many', 'w') as z:
    for i in range(70000): z.writestr(f'{i}', b'')
`;
    run('python3', ['-c', script]);
    let read = 0;
    for (const method of [0, 8]) {
      for (const piped of [0, 1]) {
        for (const large of [0, 1]) {
          const name = `python-${method}-${piped}-${large}`;
          const bytes = new Uint8Array(readFileSync(join(folder, name)));
          const found = await listed(bytes);
          expect(
            found.programs.map((e) => e.name),
            name,
          ).toEqual(['größe/eins.gcode', 'zwei']);
          expect(found.comment).toBe('a comment');
          for (const entry of found.programs) {
            expect((await all(bytes, entry)).equals(CODE), name).toBe(true);
            read++;
          }
        }
      }
    }
    expect(read).toBe(16);
    for (const [name, message] of [
      ['python-bzip2', /bzip2/],
      ['python-lzma', /LZMA/],
    ] as const) {
      const found = await listed(new Uint8Array(readFileSync(join(folder, name))));
      expect(found.entries[0]?.problem).toMatch(message);
    }
    const many = sourceOf(new Uint8Array(readFileSync(join(folder, 'python-many'))));
    expect(await listPackage(many, inflate)).toMatchObject({
      ok: false,
      message: expect.stringMatching(/70,000 entries/),
    });
    const found = await listPackage(many, inflate, { ...LIMITS, entries: 70_000 });
    expect(found.ok && found.entries.length).toBe(70_000);
  });
});

describe('our test packages, read by other programs', () => {
  // The generator is right where somebody else reads what it wrote.
  it.skipIf(!hasUnzip)(needing(hasUnzip, 'unzip', 'unzip takes the same bytes out'), async () => {
    let read = 0;
    for (let seed = 1000; seed < 1025; seed++) {
      const { bytes, parts, shape } = anyPackage(randomOf(seed));
      // unzip's own limits: it warns of what stands around a package, and its patterns are no names.
      if (parts.length === 0 || shape.prefix || shape.suffix) continue;
      writeFileSync(join(folder, 'ours.zip'), bytes);
      for (const { name, bytes: content } of parts) {
        if (/[^\x20-\x7e]/.test(name as string)) continue;
        expect(run('unzip', ['-p', 'ours.zip', name as string]).equals(content), `seed ${seed}: ${name}`).toBe(true);
        read++;
      }
    }
    expect(read).toBeGreaterThan(15);
  });

  it.skipIf(!hasPython)(needing(hasPython, 'python3', 'Python and we agree on changed packages'), async () => {
    const made = Array.from({ length: 400 }, (_, i) => {
      const random = randomOf(5000 + i);
      const { bytes } = anyPackage(random);
      return random.chance(0.2) ? bytes : mutated(random, bytes);
    });
    for (const [i, bytes] of made.entries()) writeFileSync(join(folder, `agree-${i}`), bytes);
    const script = `
import zipfile, zlib, json, sys
out = []
for i in range(${made.length}):
    entries = {}
    try:
        with zipfile.ZipFile(f'agree-{i}') as z:
            for info in z.infolist():
                try: entries[str(info.header_offset)] = zlib.crc32(z.read(info))
                except Exception: entries[str(info.header_offset)] = None
        out.append(entries)
    except Exception: out.append(None)
print(json.dumps(out))
`;
    const theirs: (Record<string, number | null> | null)[] = JSON.parse(run('python3', ['-c', script]).toString());
    let agreed = 0;
    for (const [i, bytes] of made.entries()) {
      const found = await listPackage(sourceOf(bytes), inflate);
      if (!found.ok) continue; // more careful than Python in several ways
      for (const entry of found.entries) {
        const mine =
          entry.kind === 'folder'
            ? null
            : await all(bytes, entry).then(
                (out) => crc32(out),
                () => null,
              );
        const other = theirs[i]?.[String(entry.place.offset)];
        // What both can read must be the same.
        if (mine === null || other === null || other === undefined) continue;
        expect(mine, `package ${5000 + i}, ${entry.name}`).toBe(other);
        agreed++;
      }
    }
    expect(agreed).toBeGreaterThan(200);
  });

  it.skipIf(!hasGzip)(needing(hasGzip, 'gzip', 'gzip takes the same bytes out'), () => {
    const parts = [CODE, program(randomOf(2), 20)];
    expect(run('gzip', ['-dc'], members(...parts)).equals(Buffer.concat(parts))).toBe(true);
  });
});

import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type NewFile, type NewFileOptions, newFile, type WritingDisk } from '../../../server/src/files/newFile.ts';

const posix = process.platform !== 'win32';
const CODE = new TextEncoder().encode('G28\nM84\n');

let folder = '';
let file = '';
beforeEach(async () => {
  folder = await disk.mkdtemp(join(tmpdir(), 'bookend-new-'));
  file = join(folder, 'plate.gcode');
});
afterEach(async () => {
  await disk.chmod(folder, 0o755);
  await disk.rm(folder, { recursive: true, force: true });
});

const begin = (more: Partial<NewFileOptions> = {}, path = file, world: Partial<WritingDisk> = {}) =>
  newFile({ ...disk, ...world }, path, { overwrite: false, mark: '7', folder, ...more });

async function begun(...args: Parameters<typeof begin>): Promise<NewFile> {
  const made = await begin(...args);
  if ('reason' in made) throw new Error(made.reason);
  return made;
}

const there = () => disk.readdir(folder);
const failing = (code: string) => async () => {
  throw Object.assign(new Error(`${code}: it went wrong`), { code });
};

describe('a new file', () => {
  it('has its name only when it is whole', async () => {
    const made = await begun();
    await made.write(CODE);
    expect(await there()).toEqual(['plate.gcode.7.tmp']);
    await made.write(CODE);
    expect(await made.keep()).toBeNull();
    expect(await there()).toEqual(['plate.gcode']);
    expect(await disk.readFile(file, 'utf8')).toBe('G28\nM84\nG28\nM84\n');
    await made.drop();
    expect(await there()).toEqual(['plate.gcode']);
  });

  it('is gone when it is dropped, however often', async () => {
    const made = await begun();
    await made.write(CODE);
    await made.drop();
    await made.drop();
    expect(await there()).toEqual([]);
  });

  it('on a disk without links, as sticks are', async () => {
    const made = await begun({}, file, { link: failing('EPERM') });
    await made.write(CODE);
    expect(await made.keep()).toBeNull();
    expect(await there()).toEqual(['plate.gcode']);
  });

  it('is on the disk before it has its name, and so is its name after', async () => {
    const done: string[] = [];
    const open: WritingDisk['open'] = async (path, flags) => {
      const handle = await disk.open(path, flags);
      return {
        writeFile: (bytes) => handle.writeFile(bytes),
        sync: () => handle.sync().then(() => void done.push(`sync ${flags}`)),
        close: () => handle.close(),
      };
    };
    const link: WritingDisk['link'] = (from, to) => disk.link(from, to).then(() => void done.push('named'));
    const made = await begun({}, file, { open, link });
    await made.write(CODE);
    await made.keep();
    expect(done).toEqual(posix ? ['sync wx', 'named', 'sync r'] : expect.arrayContaining(['sync wx', 'named']));
  });
});

describe('a file that is there already', () => {
  beforeEach(() => disk.writeFile(file, 'old', { mode: 0o640 }));

  it('is left alone', async () => {
    expect(await begin()).toEqual({ reason: expect.stringMatching(/such a file already/) });
    expect(await disk.readFile(file, 'utf8')).toBe('old');
    expect(await there()).toEqual(['plate.gcode']);
  });

  it('is left alone where it came meanwhile, with and without links', async () => {
    for (const link of [disk.link, failing('ENOTSUP')]) {
      await disk.rm(file);
      const made = await begun({}, file, { link });
      await made.write(CODE);
      await disk.writeFile(file, 'theirs');
      expect(await made.keep()).toMatch(/such a file already/);
      expect(await disk.readFile(file, 'utf8')).toBe('theirs');
      expect(await there()).toEqual(['plate.gcode']);
    }
  });

  it('is replaced where that is asked for, all or none', async () => {
    const dropped = await begun({ overwrite: true });
    await dropped.write(CODE);
    await dropped.drop();
    expect(await disk.readFile(file, 'utf8')).toBe('old');
    const made = await begun({ overwrite: true });
    await made.write(CODE);
    expect(await disk.readFile(file, 'utf8')).toBe('old');
    expect(await made.keep()).toBeNull();
    expect(await disk.readFile(file, 'utf8')).toBe('G28\nM84\n');
    if (posix) expect((await disk.stat(file)).mode & 0o777).toBe(0o640);
    expect(await there()).toEqual(['plate.gcode']);
  });

  it('is never replaced where it is the package, or read-only', async () => {
    expect(await begin({ overwrite: true, from: file })).toEqual({
      reason: expect.stringMatching(/the package itself/),
    });
    await disk.chmod(file, 0o444);
    expect(await begin({ overwrite: true })).toEqual({ reason: 'it is read-only' });
    expect(await disk.readFile(file, 'utf8')).toBe('old');
  });

  it.skipIf(!posix)(
    'keeps its owner and group where the system allows it, and is nobody else’s meanwhile',
    async () => {
      const root = process.getuid?.() === 0;
      const [uid, gid] = root ? [12_345, 23_456] : [process.getuid?.() ?? 0, process.getgid?.() ?? 0];
      await disk.chown(file, uid, gid);
      const made = await begun({ overwrite: true });
      await made.write(CODE);
      expect((await disk.stat(`${file}.7.tmp`)).mode & 0o777).toBe(0o600);
      expect(await made.keep()).toBeNull();
      expect(await disk.stat(file)).toMatchObject({ uid, gid });
      expect((await disk.stat(file)).mode & 0o777).toBe(0o640);
    },
  );

  it.skipIf(!posix)('is refused where it has several names', async () => {
    await disk.link(file, join(folder, 'other.gcode'));
    expect(await begin({ overwrite: true })).toEqual({ reason: expect.stringMatching(/^it stands under 2 names/) });
    expect(await disk.readFile(join(folder, 'other.gcode'), 'utf8')).toBe('old');
    expect((await there()).sort()).toEqual(['other.gcode', 'plate.gcode']);
  });

  it.skipIf(!posix)('by a link: its target is replaced; the package under another name is known', async () => {
    const link = join(folder, 'link.gcode');
    await disk.symlink(file, link);
    expect(await begin({ overwrite: true, from: file }, link)).toEqual({ reason: expect.stringMatching(/itself/) });
    const made = await begun({ overwrite: true }, link);
    await made.write(CODE);
    expect(await made.keep()).toBeNull();
    expect((await disk.lstat(link)).isSymbolicLink()).toBe(true);
    expect(await disk.readFile(file, 'utf8')).toBe('G28\nM84\n');
  });

  it.skipIf(!posix)('a link that leads nowhere is nothing to write over', async () => {
    await disk.symlink(join(folder, 'gone'), join(folder, 'dangling'));
    const made = await begun({ overwrite: true }, join(folder, 'dangling'));
    expect(await made.keep()).toMatch(/such a file already/);
    expect((await there()).sort()).toEqual(['dangling', 'plate.gcode']);
  });
});

describe('what goes wrong', () => {
  it.each<[string, () => string, RegExp]>([
    ['no such folder', () => join(folder, 'no', 'a.gcode'), /no such folder; make it first/],
    ['a folder of that name', () => folder, /a folder or device of that name/],
    ['a name too long', () => join(folder, 'n'.repeat(5000)), /too long for this disk/],
  ])('%s', async (_, path, reason) => {
    expect(await begin({ overwrite: true }, path())).toEqual({ reason: expect.stringMatching(reason) });
    expect(await there()).toEqual([]);
  });

  it('a temporary file of another run is left alone', async () => {
    await disk.writeFile(`${file}.7.tmp`, 'theirs');
    expect(await begin()).toEqual({ reason: expect.stringMatching(/in the way/) });
    expect(await disk.readFile(`${file}.7.tmp`, 'utf8')).toBe('theirs');
  });

  it.each([
    ['ENOSPC', /disk is full after 8 bytes/],
    ['EFBIG', /no file so large.*FAT32 end at 4\.3 GB/],
    ['EIO', /disk failed after 8 bytes/],
    ['EDQUOT', /share of the disk is full/],
    ['EWHAT', /it went wrong/],
  ])('%s while it is written, put on the disk, closed or named: nothing is left', async (code, reason) => {
    for (const step of ['writeFile', 'sync', 'close', 'link'] as const) {
      let pieces = 0;
      const open: WritingDisk['open'] = async (path, flags) => {
        const handle = await disk.open(path, flags);
        const fail = failing(code);
        return {
          writeFile: (bytes) => (step === 'writeFile' && pieces++ > 0 ? fail() : handle.writeFile(bytes)),
          sync: () => (step === 'sync' ? fail() : handle.sync()),
          close: () => handle.close().then(() => (step === 'close' ? fail() : undefined)),
        };
      };
      const both = step === 'link' ? { link: failing(code), rename: failing(code) } : {};
      const made = await begun({}, file, { open, ...both });
      const outcome = async () => {
        await made.write(CODE);
        if (step === 'writeFile') await made.write(CODE);
        return made.keep();
      };
      const told = await outcome().catch((error: Error) => error.message);
      expect(told, step).toMatch(reason);
      await made.drop();
      expect(await there(), step).toEqual([]);
    }
  });

  it.skipIf(!posix || process.getuid?.() === 0)('a folder that may not be written to', async () => {
    await disk.chmod(folder, 0o555);
    expect(await begin()).toEqual({ reason: 'you may not write there' });
  });

  it.skipIf(process.platform !== 'linux')('a disk that the system says is full', async () => {
    // Every write to /dev/full fails as on a full disk (Linux, full(4)).
    const open: WritingDisk['open'] = async (path, flags) => {
      await (await disk.open(path, flags)).close();
      return disk.open('/dev/full', 'w');
    };
    const made = await begun({}, file, { open });
    await expect(made.write(CODE)).rejects.toThrow(/disk is full after 0 bytes, and nothing is left of it/);
    await made.drop();
    expect(await there()).toEqual([]);
  });
});

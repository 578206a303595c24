import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Disk, replaceFile } from '../../../server/src/files/replaceFile.ts';

const OLD = new TextEncoder().encode('G28\r\n');
const NEW = new TextEncoder().encode('G28\r\nM84\r\n');
const posix = process.platform !== 'win32';

let folder = '';
let file = '';
beforeEach(async () => {
  folder = await disk.mkdtemp(join(tmpdir(), 'bookend-replace-'));
  file = join(folder, 'a.gcode');
  await disk.writeFile(file, OLD);
});
afterEach(async () => {
  await disk.rm(folder, { recursive: true, force: true });
});

const replace = (more: Partial<Disk> = {}, path = file) => replaceFile({ ...disk, ...more }, path, OLD, NEW, '7');
const text = async (path = file) => disk.readFile(path, 'utf8');
const leftOver = async () => (await disk.readdir(folder)).filter((name) => name.endsWith('.tmp'));

describe('replacing a file', () => {
  it('puts the new bytes there and leaves nothing beside them', async () => {
    expect(await replace()).toBeNull();
    expect(await text()).toBe('G28\r\nM84\r\n');
    expect(await disk.readdir(folder)).toEqual(['a.gcode']);
  });

  it('is refused where the file was changed meanwhile, and the other change stays', async () => {
    await disk.writeFile(file, 'G28 X\n');
    expect(await replace()).toMatch(/changed meanwhile/);
    expect(await text()).toBe('G28 X\n');
    expect(await leftOver()).toEqual([]);
  });

  it('sees a change up to the last moment', async () => {
    const writeFile: Disk['writeFile'] = async (...args) => {
      await disk.writeFile(...args);
      await disk.appendFile(file, 'M84\n');
    };
    expect(await replace({ writeFile })).toMatch(/changed meanwhile/);
    expect(await text()).toBe('G28\r\nM84\n');
  });

  it('is refused where the file is read-only, gone, or a folder', async () => {
    await disk.chmod(file, 0o444);
    expect(await replace()).toBe('it is read-only');
    await disk.chmod(file, 0o644);
    expect(await text()).toBe('G28\r\n');
    expect(await replace({}, folder)).toBe('it is no plain file');
    expect(await replace({}, join(folder, 'gone'))).toBe('it is no longer there');
  });

  it.each(['EACCES', 'EROFS', 'ENOSPC', 'EIO'])(
    '%s while it is written or named: the old file stays whole',
    async (code) => {
      const fail = async () => {
        throw Object.assign(new Error(`${code}: it went wrong`), { code });
      };
      for (const step of ['writeFile', 'rename', 'access', 'chmod'] as const) {
        expect(await replace({ [step]: fail }), step).toMatch(/may not|read-only|full|went wrong/);
        expect(await text(), step).toBe('G28\r\n');
        expect(await leftOver(), step).toEqual([]);
      }
    },
  );

  it('a temporary file of another run is not overwritten', async () => {
    await disk.writeFile(`${file}.7.tmp`, 'theirs');
    expect(await replace()).toMatch(/in the way/);
    expect(await text(`${file}.7.tmp`)).toBe('theirs');
  });

  it.skipIf(!posix)('keeps permissions and follows links', async () => {
    await disk.chmod(file, 0o640);
    const link = join(folder, 'link.gcode');
    await disk.symlink(file, link);
    expect(await replace({}, link)).toBeNull();
    expect((await disk.lstat(link)).isSymbolicLink()).toBe(true);
    expect(await text()).toBe('G28\r\nM84\r\n');
    expect((await disk.stat(file)).mode & 0o777).toBe(0o640);
  });
});

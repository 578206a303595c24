import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type ReplacingDisk, replaceFile } from '../../../server/src/files/replaceFile.ts';

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

const replace = (more: Partial<ReplacingDisk> = {}, path = file) =>
  replaceFile({ ...disk, ...more }, path, OLD, NEW, '7');
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
    const writeFile: ReplacingDisk['writeFile'] = async (...args) => {
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

  it.skipIf(!posix)('a file of several names is refused, since all but one would keep the old content', async () => {
    await disk.link(file, join(folder, 'other.gcode'));
    expect(await replace()).toBe(
      'it stands under 2 names (hard links), and only this one would get the new content; replace it by a copy of itself first',
    );
    expect([await text(), await text(join(folder, 'other.gcode'))]).toEqual(['G28\r\n', 'G28\r\n']);
    expect(await leftOver()).toEqual([]);
    await disk.unlink(join(folder, 'other.gcode'));
    expect(await replace()).toBeNull();
  });

  // Only the superuser may give files away (POSIX.1-2017, chown), so elsewhere it can only be seen that it is tried.
  it.skipIf(!posix)('keeps owner and group where the system allows it, and goes on where not', async () => {
    const root = process.getuid?.() === 0;
    const [uid, gid] = root ? [12_345, 23_456] : [process.getuid?.() ?? 0, process.getgid?.() ?? 0];
    await disk.chown(file, uid, gid);
    await disk.chmod(file, 0o2640);
    expect(await replace()).toBeNull();
    expect(await disk.stat(file)).toMatchObject({ uid, gid });
    expect((await disk.stat(file)).mode & 0o7777).toBe(0o2640);
    await disk.writeFile(file, OLD);
    const asked: (readonly number[])[] = [];
    const chown: ReplacingDisk['chown'] = async (_, ...ids) => {
      asked.push(ids);
      throw Object.assign(new Error('EPERM'), { code: 'EPERM' });
    };
    const stat: ReplacingDisk['stat'] = async (path) => {
      const facts = await disk.stat(path);
      return path === file ? Object.assign(facts, { uid: 4, gid: 5 }) : facts;
    };
    expect(await replace({ chown, stat })).toBeNull();
    expect(asked).toEqual([
      [4, 5],
      [-1, 5],
    ]);
    expect(await text()).toBe('G28\r\nM84\r\n');
  });

  it.skipIf(!posix)('what is on its way is for nobody else to read', async () => {
    await disk.chmod(file, 0o604);
    const seen: number[] = [];
    const chmod: ReplacingDisk['chmod'] = async (path, mode) => {
      seen.push((await disk.stat(path)).mode & 0o777);
      await disk.chmod(path, mode);
    };
    expect(await replace({ chmod })).toBeNull();
    expect(seen).toEqual([0o600]);
    expect((await disk.stat(file)).mode & 0o777).toBe(0o604);
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

import { spawnSync } from 'node:child_process';
import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { markOf, type Runs, removeLeftovers } from '../../../server/src/files/leftovers.ts';
import { freshMark, tidy } from '../../../server/src/nodeRuns.ts';

const DAY = 24 * 3600 * 1000;
/** Now: the 20th day. This run is number 50, since the 19th day; 51 runs too. */
const runs: Runs = {
  ...{ host: 'here', pid: 50, started: 19 * DAY, fresh: () => 'abc123' },
  isAlive: (pid) => pid === 50 || pid === 51,
  now: () => 20 * DAY,
};

let folder = '';
beforeEach(async () => {
  folder = await disk.mkdtemp(join(tmpdir(), 'bookend-left-'));
});
afterEach(() => disk.rm(folder, { recursive: true, force: true }));

/** Puts a file there that was written to last on this day. */
async function put(name: string, day: number): Promise<void> {
  await disk.writeFile(join(folder, name), 'half');
  await disk.utimes(join(folder, name), (day * DAY) / 1000, (day * DAY) / 1000);
}
const uid = process.getuid?.() ?? null;
const clear = async (more: Partial<Runs> = {}, who = uid): Promise<string[]> => {
  await removeLeftovers(disk, { folder, uid: who, join }, { ...runs, ...more });
  return (await disk.readdir(folder)).sort();
};

test('a mark is found again by its own pattern', async () => {
  const name = `a.gcode.${markOf({ ...runs, pid: 7 })}.tmp`;
  expect(name).toBe('a.gcode.bookend-here-7-abc123.tmp');
  await put(name, 19.9);
  expect(await clear()).toEqual([]);
});

test.each([
  ['of a run that has ended', 'a.gcode.bookend-here-7-0f.tmp', 19.999, true],
  ['of a run that still runs', 'a.gcode.bookend-here-51-0f.tmp', 15, false],
  ['of a run that still runs, untouched for a week', 'a.gcode.bookend-here-51-0f.tmp', 12.9, true],
  ['of this run', 'a.gcode.bookend-here-50-0f.tmp', 19.5, false],
  ['of an earlier run with the same number', 'a.gcode.bookend-here-50-0f.tmp', 18.9, true],
  ['of a run on another machine', 'a.gcode.bookend-there-7-0f.tmp', 15, false],
  ['of a run on another machine, untouched for a week', 'a.gcode.bookend-there-7-0f.tmp', 12.9, true],
  ['another program’s', 'a.gcode.7.tmp', 1, false],
  ['a name that only looks alike', 'a.gcode.bookend-here-7-0f.tmp.gcode', 1, false],
  ['a name with nothing before the mark', '.bookend-here-7-0f.tmp', 1, false],
  ['a name without a number', 'a.gcode.bookend-here-x-0f.tmp', 1, false],
] as const)('a file %s', async (_, name, day, goes) => {
  await put(name, day);
  await put('a.gcode', 1);
  expect(await clear()).toEqual(goes ? ['a.gcode'] : [name, 'a.gcode'].sort());
});

test('a folder, a link, somebody else’s file: they stay', async () => {
  await disk.mkdir(join(folder, 'a.bookend-here-7-01.tmp'));
  if (process.platform !== 'win32') await disk.symlink('gone', join(folder, 'a.bookend-here-7-02.tmp'));
  const before = (await disk.readdir(folder)).sort();
  expect(await clear()).toEqual(before);
  await put('a.bookend-here-7-03.tmp', 1);
  if (uid !== null) expect(await clear({}, uid + 1)).toContain('a.bookend-here-7-03.tmp');
  expect(await clear()).toEqual(before);
});

test('a folder that is gone is no reason for anything', async () => {
  await removeLeftovers(disk, { folder: join(folder, 'gone'), uid, join }, runs);
});

test('in Node: a process that has ended is known, and this one’s files stay', async () => {
  const { pid } = spawnSync(process.execPath, ['--version']);
  const mine = freshMark();
  expect(freshMark()).not.toBe(mine);
  await disk.writeFile(join(folder, `a.${mine}.tmp`), '');
  await disk.writeFile(join(folder, `b.${mine.replace(`-${process.pid}-`, `-${pid}-`)}.tmp`), '');
  expect(await disk.readdir(folder)).toHaveLength(2);
  await tidy(join(folder, 'c.gcode'));
  expect(await disk.readdir(folder)).toEqual([`a.${mine}.tmp`]);
});

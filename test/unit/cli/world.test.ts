// The real world on a real disk, in this process.

import { spawnSync } from 'node:child_process';
import { unlinkSync } from 'node:fs';
import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import * as path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Io, OpenFile } from '../../../server/src/cli/io.ts';
import { type NodeModules, worldOf } from '../../../server/src/cli/world.ts';
import { hasher, inflate } from '../../../server/src/nodeFiles.ts';
import { nodeClock, nodeDisk, READ_AT_ONCE } from '../../../server/src/nodeReading.ts';
import { tidy } from '../../../server/src/nodeRuns.ts';

let folder = '';
beforeAll(async () => {
  folder = await disk.mkdtemp(path.join(tmpdir(), 'bookend-world-'));
});
afterAll(() => disk.rm(folder, { recursive: true }));

function world(more: Partial<NodeModules['disk']> = {}): { io: Io; stop: () => void; codes: number[] } {
  const codes: number[] = [];
  let stop = (): void => {};
  const io = worldOf(
    {
      disk: { ...disk, ...more },
      path,
      process: {
        stdin: process.stdin,
        stdout: { write: () => true },
        stderr: { write: () => true },
        env: {},
        cwd: () => folder,
        exit: ((code: number) => void codes.push(code)) as never,
        on: (signal, listener) => {
          if (signal === 'SIGINT') stop = listener;
        },
      },
      ...{ reading: nodeDisk, atOnce: READ_AT_ONCE, clock: nodeClock, freshMark: () => 'mine', tidy },
      cores: 1,
      removeNow: unlinkSync,
      ...{ inflate, hasher },
      spareMemory: () => {},
      thread: () => expect.unreachable(),
    },
    '1.2.3',
  );
  return { io, stop: () => stop(), codes };
}

const opened = async (io: Io, name: string): Promise<OpenFile> => {
  const file = await io.open(path.join(folder, name));
  if ('reason' in file) throw new Error(file.reason);
  return file;
};

test.each([
  ['grows', (file: string) => disk.appendFile(file, 'M84\n'), /it grew from 4 to 8 bytes while it was read/],
  ['shrinks', (file: string) => disk.truncate(file, 1), /it shrank from 4 to 1 bytes while it was read/],
  ['is written to', (file: string) => disk.utimes(file, 1, 1), /it was written to while it was read/],
  ['vanishes', (file: string) => disk.unlink(file), /it was taken away while it was read/],
])('a file that %s while it is read', async (name, change, words) => {
  const { io } = world();
  const file = path.join(folder, `${name}.gcode`);
  await disk.writeFile(file, 'G28\n');
  const open = await opened(io, `${name}.gcode`);
  expect(await open.changed()).toBeNull();
  await change(file);
  expect(await open.changed()).toMatch(words);
  await open.close();
  await open.close();
});

test('reads at any place, and no further than the end', async () => {
  const { io } = world();
  await disk.writeFile(path.join(folder, 'a.txt'), '0123456789');
  const open = await opened(io, 'a.txt');
  const text = async (offset: number, length: number) => new TextDecoder().decode(await open.read(offset, length));
  expect([await text(2, 3), await text(8, 50), await text(20, 5)]).toEqual(['234', '89', '']);
  await open.close();
});

test('why a file cannot be used', async () => {
  const { io } = world();
  await disk.writeFile(path.join(folder, 'plain'), 'x');
  expect(await io.look(path.join(folder, 'gone'))).toEqual({ reason: 'there is no such file' });
  expect(await io.look(path.join(folder, 'plain', 'x'))).toEqual({ reason: 'a part of its path is no folder' });
  expect(await io.look(folder)).toMatchObject({ kind: 'folder' });
  expect(await io.readFile(folder)).toEqual({ reason: 'it is a folder; name a file in it' });
  const denied = () => Promise.reject(Object.assign(new Error('EACCES'), { code: 'EACCES' }));
  expect(await world({ open: denied }).io.open(path.join(folder, 'plain'))).toEqual({ reason: 'you may not read it' });
  expect(await io.open(folder)).toEqual({ reason: 'it is a folder; name a file in it' });
  // A pipe that nobody writes to would be waited for without end.
  const pipe = path.join(folder, 'pipe');
  if (spawnSync('mkfifo', [pipe]).status === 0)
    expect(await io.open(pipe)).toEqual({
      reason: expect.stringMatching(/^it is a pipe, which may keep a reader waiting/),
    });
  expect(await world({ readdir: denied }).io.readFolder('x')).toEqual({ reason: 'you may not read it' });
});

test('ended by a signal it takes away what is half written, and only that', async () => {
  const { io, stop, codes } = world();
  const create = (name: string) => io.create(path.join(folder, name), { overwrite: false, from: '' });
  const kept = await create('kept.gcode');
  const half = await create('half.gcode');
  if ('reason' in kept || 'reason' in half) throw new Error('not begun');
  await kept.write(new TextEncoder().encode('M84\n'));
  await half.write(new TextEncoder().encode('M8'));
  expect(await kept.keep()).toBeNull();
  stop();
  expect(codes).toEqual([130]);
  expect((await disk.readdir(folder)).filter((name) => /kept|half/.test(name))).toEqual(['kept.gcode']);
  await half.drop();
});

test('another run’s temporary file stays where it is', async () => {
  const { io, stop } = world();
  const other = path.join(folder, 'their.gcode.mine.tmp');
  await disk.writeFile(other, 'theirs');
  expect(await io.create(path.join(folder, 'their.gcode'), { overwrite: false, from: '' })).toHaveProperty('reason');
  stop();
  expect(await disk.readFile(other, 'utf8')).toBe('theirs');
});

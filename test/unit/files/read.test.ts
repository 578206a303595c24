import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { listBounded } from '../../../server/src/files/list.ts';
import { readingDisk } from '../../../server/src/files/nodeDisk.ts';
import { type Clock, type ReadingDisk, type ReadLimits, readBounded } from '../../../server/src/files/read.ts';
import { nodeClock, nodeDisk, READ_AT_ONCE } from '../../../server/src/nodeReading.ts';
import { pipe, TRAPS } from '../../files/hostile.ts';

const posix = process.platform !== 'win32';

let folder = '';
let cleanUp: () => void = () => {};
beforeEach(async () => {
  folder = await disk.realpath(await disk.mkdtemp(join(tmpdir(), 'bookend-read-')));
  cleanUp = () => {};
});
afterEach(async () => {
  cleanUp();
  await disk.rm(folder, { recursive: true, force: true });
});

/** A clock that stands still until it is told to run out. */
function stillClock() {
  const waiting = new Set<() => void>();
  const clock: Clock = {
    after(_, run) {
      waiting.add(run);
      return () => void waiting.delete(run);
    },
  };
  return {
    clock,
    waiting,
    runOut() {
      for (const run of waiting) run();
    },
  };
}

const LIMITS: ReadLimits = { largest: 1_000_000, raise: 'the limit', within: null };
const read = (name: string, limits: Partial<ReadLimits> = {}, from: ReadingDisk = nodeDisk, clock: Clock = nodeClock) =>
  readBounded(from, join(folder, name), { ...LIMITS, ...limits }, clock);
const text = async (...args: Parameters<typeof read>): Promise<string> => {
  const bytes = await read(...args);
  return 'reason' in bytes ? `refused: ${bytes.reason}` : new TextDecoder().decode(bytes);
};

describe('regular files', () => {
  it('are read whole, directly and by a link', async () => {
    const content = '{ "name": "Wagtail 204" }'.repeat(9000);
    await disk.writeFile(join(folder, 'a'), content);
    await disk.symlink('a', join(folder, 'link'));
    expect(await text('a')).toBe(content);
    expect(await text('link')).toBe(content);
    await disk.writeFile(join(folder, 'empty'), '');
    expect(await text('empty')).toBe('');
  });

  it('up to the limit to the byte, and not one more', async () => {
    await disk.writeFile(join(folder, 'a'), 'x'.repeat(5000));
    expect(await text('a', { largest: 5000 })).toHaveLength(5000);
    expect(await read('a', { largest: 4999 })).toEqual({
      reason: 'it has 5.0 kB, more than the 5.0 kB that are read; shorten it, or raise the limit',
    });
    expect(await read('a', { largest: 1000, raise: null })).toEqual({
      reason: 'it has 5.0 kB, more than the 1.0 kB that are read; shorten it',
    });
  });

  it('whose size the system does not know are read to their end', async () => {
    // proc(5): its files are regular and of 0 bytes.
    if (process.platform === 'linux') expect(await text('../../proc/self/status')).toMatch(/^Name:/);
  });
});

describe.runIf(posix)('what is no regular file', () => {
  it.each(TRAPS.map((trap) => [trap.name, trap] as const))('%s', async (_, { make, says }) => {
    cleanUp = await make(join(folder, 'trap'));
    expect(await text('trap')).toMatch(says);
  });

  it('a folder, a device, both by their own names', async () => {
    expect(await text('.')).toBe('refused: it is a folder; name a file in it');
    const bytes = await readBounded(nodeDisk, '/dev/zero', LIMITS, nodeClock);
    expect(bytes).toEqual({ reason: 'it is a device, which need not have an end; put a regular file in its place' });
  });

  it('a device is not even opened', async () => {
    await disk.symlink('/dev/zero', join(folder, 'a'));
    const opened: string[] = [];
    const watched = readingDisk(
      {
        ...disk,
        open: (path, flags) => {
          opened.push(path);
          return disk.open(path, flags);
        },
      },
      READ_AT_ONCE,
    );
    expect(await text('a', {}, watched)).toMatch(/refused/);
    expect(opened).toEqual([]);
  });

  it('a pipe that took the place of a file meanwhile is opened without waiting, and refused', async () => {
    await disk.writeFile(join(folder, 'a'), 'x');
    const swapping: ReadingDisk = {
      ...nodeDisk,
      async open(path) {
        await disk.rm(path);
        pipe(path);
        return nodeDisk.open(path);
      },
    };
    expect(await text('a', {}, swapping)).toMatch(/^refused: it is a pipe/);
  });
});

describe('a file that grows while it is read', () => {
  /** Grows by a piece before each piece is read. */
  const growing = (piece: number, times: number): ReadingDisk & { readonly asked: number[] } => {
    const asked: number[] = [];
    return {
      ...nodeDisk,
      asked,
      async open(path) {
        const file = await nodeDisk.open(path);
        return {
          ...file,
          async read(room) {
            asked.push(room.length);
            if (asked.length <= times) await disk.appendFile(path, 'y'.repeat(piece));
            return file.read(room);
          },
        };
      },
    };
  };

  it('without end is given up at the limit', async () => {
    await disk.writeFile(join(folder, 'a'), 'x');
    const from = growing(70_000, Number.POSITIVE_INFINITY);
    expect(await text('a', {}, from)).toBe(
      'refused: it goes on, or grows while it is read, to more than the 1.0 MB that are read; shorten it, or raise the limit',
    );
    expect(from.asked.reduce((sum, length) => sum + length, 0)).toBeLessThanOrEqual(2_000_000);
    expect((await disk.stat(join(folder, 'a'))).size).toBeLessThan(90_000_000);
  });

  it('a little is read to its new end', async () => {
    await disk.writeFile(join(folder, 'a'), 'x');
    expect(await text('a', {}, growing(70_000, 3))).toBe(`x${'y'.repeat(210_000)}`);
  });
});

describe('a disk that gives no answer', () => {
  /** Calls that hang until the test is over. */
  const hanging = new Set<(error: Error) => void>();
  const never = () => new Promise<never>((_, reject) => void hanging.add(reject));
  afterEach(() => {
    for (const end of hanging) end(new Error('the test is over'));
    hanging.clear();
  });
  const reason =
    'there was no answer for 5 seconds, as from a network drive out of reach; check the connection, or copy the file to this disk';

  it.each(['look', 'open', 'read', 'real'] as const)(
    'in %s: it is waited for until the clock has run out',
    async (step) => {
      await disk.writeFile(join(folder, 'a'), 'x');
      let reached = (): void => {};
      const stuck = new Promise<void>((resolve) => {
        reached = resolve;
      });
      const hang = (): Promise<never> => {
        reached();
        return never();
      };
      const from: ReadingDisk =
        step === 'read'
          ? { ...nodeDisk, open: async (path) => ({ ...(await nodeDisk.open(path)), read: hang }) }
          : { ...nodeDisk, [step]: hang };
      const { clock, waiting, runOut } = stillClock();
      const answer = read('a', { within: [folder] }, from, clock);
      await stuck;
      expect(waiting.size).toBe(1);
      runOut();
      expect(await answer).toEqual({ reason });
      expect(waiting.size).toBe(0);
    },
  );

  it('what comes too late is closed, and no more of it is read', async () => {
    await disk.writeFile(join(folder, 'a'), 'x'.repeat(300_000));
    let closed = (): void => {};
    const end = new Promise<void>((resolve) => {
      closed = resolve;
    });
    let reads = 0;
    const { clock, runOut } = stillClock();
    const from: ReadingDisk = {
      ...nodeDisk,
      async open(path) {
        const file = await nodeDisk.open(path);
        return {
          ...file,
          async read(room) {
            if (++reads === 2) runOut();
            return file.read(room);
          },
          close: () => file.close().finally(closed),
        };
      },
    };
    expect(await read('a', {}, from, clock)).toEqual({ reason });
    await end;
    expect(reads).toBe(2);
  });

  it('the clock is called off where all is well', async () => {
    await disk.writeFile(join(folder, 'a'), 'x');
    const { clock, waiting } = stillClock();
    expect(await text('a', {}, nodeDisk, clock)).toBe('x');
    expect(waiting.size).toBe(0);
  });

  it('a folder is not waited for either', async () => {
    const { clock, runOut } = stillClock();
    const answer = listBounded({ opendir: never }, folder, clock);
    runOut();
    expect(await answer).toEqual({ reason });
  });
});

describe('folders', () => {
  it('list what is in them, links as what they are', async () => {
    await disk.mkdir(join(folder, 'sub'));
    await disk.writeFile(join(folder, 'a'), '');
    const entries = await listBounded(nodeDisk, folder, nodeClock);
    if ('reason' in entries) throw new Error(entries.reason);
    expect([...entries].sort((a, b) => a.name.localeCompare(b.name))).toEqual([
      { name: 'a', folder: false },
      { name: 'sub', folder: true },
    ]);
    expect(await listBounded(nodeDisk, join(folder, 'gone'), nodeClock)).toEqual({ reason: 'there is no such file' });
  });

  it('without end are given up', async () => {
    let made = 0;
    const endless = {
      async *[Symbol.asyncIterator]() {
        for (;;) yield { name: `${made++}`, isDirectory: () => false };
      },
    };
    const entries = await listBounded({ opendir: async () => endless }, folder, nodeClock);
    expect(entries).toHaveLength(100_000);
    expect(made).toBeLessThanOrEqual(100_001);
  });
});

describe('inside some folders only', () => {
  const OUTSIDE = /lies outside this workspace, which is not trusted; trust the workspace, or put a copy/;

  beforeEach(async () => {
    await disk.mkdir(join(folder, 'in/deep'), { recursive: true });
    await disk.mkdir(join(folder, 'in side'));
    await disk.writeFile(join(folder, 'in/a'), 'inside');
    await disk.writeFile(join(folder, 'in side/a'), 'beside');
    await disk.writeFile(join(folder, 'out'), 'outside');
  });
  const within = () => ({ within: [join(folder, 'in'), join(folder, 'gone')] });

  it('what lies there is read, also by a way round', async () => {
    expect(await text('in/a', within())).toBe('inside');
    expect(await text('in/deep/../a', within())).toBe('inside');
    expect(await text('in/a', { within: [`${folder}/in/`] })).toBe('inside');
  });

  it('what lies elsewhere is not, by `..`, by a name that begins alike, or where no folder is given', async () => {
    expect(await text('in/../out', within())).toMatch(OUTSIDE);
    expect(await text('in side/a', within())).toMatch(OUTSIDE);
    expect(await text('in/a', { within: [] })).toMatch(OUTSIDE);
  });

  it.runIf(posix)('links count as what they lead to, of files, folders and the folder itself', async () => {
    await disk.symlink('../out', join(folder, 'in/link'));
    await disk.symlink('..', join(folder, 'in/up'));
    await disk.symlink('a', join(folder, 'in/own'));
    await disk.symlink('in', join(folder, 'alias'));
    expect(await text('in/link', within())).toMatch(OUTSIDE);
    expect(await text('in/up/out', within())).toMatch(OUTSIDE);
    expect(await text('in/own', within())).toBe('inside');
    expect(await text('in/a', { within: [join(folder, 'alias')] })).toBe('inside');
    expect(await text('in/link')).toBe('outside');
  });
});

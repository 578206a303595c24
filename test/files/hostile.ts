// Things in a folder that are no regular files, made on a real disk.

import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import * as disk from 'node:fs/promises';
import { createServer, type Server } from 'node:net';
import { join } from 'node:path';

/** Each as a person might be sent it, with what is said of it. Not on Windows, which has none of them. */
export interface Trap {
  readonly name: string;
  /** Puts it there; what is returned takes away what keeps it alive. */
  make(path: string): Promise<() => void>;
  readonly says: RegExp;
}

const none = () => {};

export function pipe(path: string): void {
  const { status } = spawnSync('mkfifo', [path]);
  if (status !== 0) throw new Error('no mkfifo here');
}

const listening = (path: string): Promise<Server> =>
  new Promise((resolve, reject) => {
    const server = createServer().once('error', reject);
    server.listen(path, () => resolve(server));
  });

/** Of whoever reads it: said to be a regular file of 0 bytes, and as long as the address space (Linux, proc(5)). */
const PAGES = '/proc/self/pagemap';
const ENDLESS: Trap = {
  name: 'a link to a regular file that says it is empty, and goes on without end',
  make: (path) => disk.symlink(PAGES, path).then(() => none),
  says: /it goes on, or grows while it is read, to more than the 1\.0 MB that are read; shorten it, or raise /,
};

export const TRAPS: readonly Trap[] = [
  ...(existsSync(PAGES) ? [ENDLESS] : []),
  {
    name: 'a link to a device without end',
    make: (path) => disk.symlink('/dev/zero', path).then(() => none),
    says: /it is a link to a device, which need not have an end; put a regular file in its place/,
  },
  {
    name: 'a pipe that nobody writes to',
    make: async (path) => {
      pipe(path);
      return none;
    },
    says: /it is a pipe, which may keep a reader waiting forever; put a regular file in its place/,
  },
  {
    name: 'a link to a pipe',
    make: async (path) => {
      pipe(`${path}.pipe`);
      await disk.symlink(`${path}.pipe`, path);
      return none;
    },
    says: /it is a link to a pipe/,
  },
  {
    name: 'a socket',
    make: async (path) => {
      // A path of a socket may have 107 bytes (Linux, unix(7)): made in the folder itself under a short name.
      const server = await listening(join(path, '..', 's'));
      await disk.rename(join(path, '..', 's'), path);
      return () => server.close();
    },
    says: /it is a socket; put a regular file in its place/,
  },
  {
    name: 'a link to a folder',
    make: async (path) => {
      await disk.symlink('.', path);
      return none;
    },
    says: /it is a link to a folder; name a file in it/,
  },
  {
    name: 'a link to nothing',
    make: (path) => disk.symlink('gone', path).then(() => none),
    says: /there is no such file/,
  },
  {
    name: 'links in a circle',
    make: async (path) => {
      await disk.symlink(path, `${path}.other`);
      await disk.symlink(`${path}.other`, path);
      return none;
    },
    says: /its links lead in a circle/,
  },
  {
    name: 'a file of 3 MB',
    make: (path) => disk.writeFile(path, `{"name":"${'x'.repeat(3_000_000)}"}`).then(() => none),
    says: /it has 3\.0 MB, more than the 1\.0 MB that are read; shorten it, or raise /,
  },
  {
    name: 'a sparse file of a terabyte',
    make: async (path) => {
      await disk.writeFile(path, '');
      await disk.truncate(path, 1e12);
      return none;
    },
    says: /it has 1\.0 TB, more than the 1\.0 MB that are read/,
  },
];

// The command line in memory: files by absolute path, and what it wrote.

import { posix } from 'node:path';
import type { ExitCode, Io } from '../../../server/src/cli/io.ts';
import { run } from '../../../server/src/cli/main.ts';
import { isSame } from '../../../server/src/cli/replaceFile.ts';

export interface Outcome {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
  /** What was written, by absolute path. */
  readonly written: ReadonlyMap<string, Uint8Array>;
}

/** Runs with these files, in /shop. A file given as null is there and cannot be read. */
export async function runCli(
  args: readonly string[],
  files: Readonly<Record<string, string | Uint8Array | null>>,
  more: Partial<Io> = {},
): Promise<Outcome> {
  let out = '';
  let err = '';
  const paths = Object.keys(files);
  const written = new Map<string, Uint8Array>();
  const bytesOf = (file: string | Uint8Array): Uint8Array =>
    typeof file === 'string' ? new TextEncoder().encode(file) : file;
  const io: Io = {
    version: '1.2.3',
    separator: '/',
    terminal: false,
    folder: '/shop',
    color: false,
    async readFile(path) {
      const file = files[path];
      if (file === null) return { reason: 'you may not read it' };
      if (file === undefined) return { reason: 'there is no such file' };
      return written.get(path) ?? bytesOf(file);
    },
    async replaceFile(path, before, after) {
      const now = written.get(path) ?? bytesOf(files[path] ?? '');
      if (!isSame(now, before)) return 'it was changed meanwhile';
      written.set(path, after);
      return null;
    },
    async listFolder(folder) {
      const prefix = folder === '/' ? '/' : `${folder}/`;
      const inside = paths.filter((path) => path.startsWith(prefix)).map((path) => path.slice(prefix.length));
      const names = new Map(inside.map((path) => [path.split('/')[0] ?? '', path.includes('/')]));
      return [...names].map(([name, isFolder]) => ({ name, folder: isFolder }));
    },
    resolve: (...parts) => posix.resolve('/shop', ...parts),
    parent: posix.dirname,
    name: (path) => posix.basename(path),
    shorten: (path) => posix.relative('/shop', path),
    write: (text) => {
      out += text;
    },
    writeBytes: (bytes) => {
      out += new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
    },
    writeError: (text) => {
      err += text;
    },
    ...more,
  };
  return { code: await run(args, io), out, err, written };
}

// The command line in memory: files by absolute path, and what it wrote.

import { posix } from 'node:path';
import type { ExitCode, Io } from '../../../server/src/cli/io.ts';
import { run } from '../../../server/src/cli/main.ts';
import { isSame } from '../../../server/src/files/replaceFile.ts';
import { hasher, inflate } from '../../../server/src/nodeFiles.ts';
import { sourceOf } from '../../../server/src/packages/source.ts';

export interface Outcome {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
  /** What was written, by absolute path. */
  readonly written: ReadonlyMap<string, Uint8Array>;
}

export type Files = Readonly<Record<string, string | Uint8Array | null>>;

/** Runs with these files, in /shop. A file given as null is there and cannot be read. `input`: standard input, in pieces. */
export async function runCli(
  args: readonly string[],
  files: Files,
  more: Partial<Io> = {},
  input: readonly (string | Uint8Array)[] = [],
): Promise<Outcome> {
  let out = '';
  let err = '';
  const paths = Object.keys(files);
  const written = new Map<string, Uint8Array>();
  const bytesOf = (file: string | Uint8Array): Uint8Array =>
    typeof file === 'string' ? new TextEncoder().encode(file) : file;
  const isFolder = (path: string): boolean => path === '/shop' || paths.some((one) => one.startsWith(`${path}/`));
  const listed = (folder: string) => {
    const prefix = folder === '/' ? '/' : `${folder}/`;
    const inside = paths.filter((path) => path.startsWith(prefix)).map((path) => path.slice(prefix.length));
    const names = new Map(inside.map((path) => [path.split('/')[0] ?? '', path.includes('/')]));
    return [...names].map(([name, folder]) => ({ name, folder }));
  };
  const io: Io = {
    version: '1.2.3',
    separator: '/',
    terminal: false,
    errorTerminal: false,
    cores: 1,
    ...{ inflate, hasher },
    spareMemory: () => {},
    now: () => 0,
    helper: () => {
      throw new Error('one core has no helpers');
    },
    async look(path) {
      const file = written.get(path) ?? files[path];
      if (file === null) return { kind: 'file', size: 1 };
      if (file !== undefined) return { kind: 'file', size: bytesOf(file).length };
      return isFolder(path) ? { kind: 'folder', size: 0 } : { reason: 'there is no such file' };
    },
    async open(path) {
      const bytes = await io.readFile(path);
      if ('reason' in bytes) return bytes;
      return { ...sourceOf(bytes), changed: async () => null, close: async () => {} };
    },
    async *input() {
      for (const piece of input) yield bytesOf(piece);
    },
    async create(path, { overwrite }) {
      if (!overwrite && (files[path] !== undefined || written.has(path))) return { reason: 'there is such a file' };
      const pieces: Uint8Array[] = [];
      return {
        write: async (bytes) => void pieces.push(bytes.slice()),
        async keep() {
          written.set(path, Buffer.concat(pieces));
          return null;
        },
        drop: async () => {},
      };
    },
    readFolder: async (path) => listed(path),
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
    listFolder: async (path) => listed(path),
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

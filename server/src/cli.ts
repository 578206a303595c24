import * as disk from 'node:fs/promises';
import { basename, dirname, relative, resolve, sep } from 'node:path';
import { version } from '../../package.json';
import { run } from './cli/main.ts';
import { replaceFile } from './cli/replaceFile.ts';

/** Why a file could not be read, for people; any other reason is told as the system words it. */
const REASONS: Record<string, string> = {
  ENOENT: 'there is no such file',
  EISDIR: 'it is a folder',
  EACCES: 'you may not read it',
};

// A reader that has seen enough (`| head`) is no failure.
process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : 2));

run(process.argv.slice(2), {
  version,
  separator: sep,
  terminal: process.stdout.isTTY === true,
  folder: process.cwd(),
  color: process.stdout.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb',
  async readFile(path) {
    try {
      return await disk.readFile(path);
    } catch (error) {
      const { code = '', message } = error as NodeJS.ErrnoException;
      return { reason: REASONS[code] ?? message };
    }
  },
  replaceFile: (path, before, after) => replaceFile(disk, path, before, after, `${process.pid}`),
  async listFolder(path) {
    try {
      const entries = await disk.readdir(path, { withFileTypes: true });
      return entries.map((entry) => ({ name: entry.name, folder: entry.isDirectory() }));
    } catch {
      return [];
    }
  },
  resolve,
  parent: dirname,
  name: (path) => basename(path),
  shorten: (path) => relative(process.cwd(), path) || path,
  write: (text) => void process.stdout.write(text),
  writeBytes: (bytes) => void process.stdout.write(bytes),
  writeError: (text) => void process.stderr.write(text),
}).then(
  (code) => {
    process.exitCode = code; // not exit(): what is still on its way to a pipe would be lost
  },
  (error: unknown) => {
    process.stderr.write(`bookend: failed, which it never should; please report this: ${String(error)}\n`);
    process.exitCode = 2;
  },
);

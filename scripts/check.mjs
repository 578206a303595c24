// `npm run check -- FILE…`: the command line on the sources as they are now.

import { readdirSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run } from './process.mjs';

const cli = join(root, 'dist', 'cli.js');

await ensureInstalled();
if (modified(cli) < newest(join(root, 'server', 'src'))) {
  // The build's own output goes to standard error, so that `--format json` leaves only JSON on standard output.
  const code = await run(process.execPath, [join(root, 'esbuild.mjs')], { stdio: ['ignore', 2, 2] });
  if (code !== 0) process.exit(2);
}
// npm runs scripts in the repository's folder; the file names belong to the folder that the person is in.
const cwd = process.env.INIT_CWD ? resolve(process.env.INIT_CWD) : process.cwd();
process.exitCode = await run(process.execPath, [cli, 'check', ...process.argv.slice(2)], { cwd, stdio: 'inherit' });

function modified(path) {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
}

function newest(folder) {
  const times = readdirSync(folder, { recursive: true }).map((name) => modified(join(folder, name)));
  return Math.max(modified(join(root, 'package-lock.json')), modified(join(root, 'esbuild.mjs')), ...times);
}

// `npm run scratch -- FILE.ts [ARGUMENTS]`: runs a TypeScript file that imports from server/src as the tests do: bundled
// into .cache/ and run by this Node. For trying things out; nothing of it is kept.

import { existsSync, mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run } from './process.mjs';

const [file, ...rest] = process.argv.slice(2);
if (!file || !existsSync(file)) {
  console.error(
    file
      ? `scratch: there is no file "${file}".`
      : 'scratch: name a file. Usage: npm run scratch -- FILE.ts [ARGUMENTS]',
  );
  process.exit(2);
}
await ensureInstalled();
const { build } = await import('esbuild');
const folder = join(root, '.cache');
mkdirSync(folder, { recursive: true });
const outfile = join(folder, 'scratch.mjs');
const options = { bundle: true, platform: 'node', format: 'esm', target: 'node20', packages: 'external' };
try {
  await build({ ...options, entryPoints: [resolve(file)], outfile, sourcemap: 'inline', logLevel: 'error' });
  process.exitCode = await run(process.execPath, ['--enable-source-maps', outfile, ...rest]);
} catch {
  // What is wrong with the file has been printed.
  process.exitCode = 1;
}

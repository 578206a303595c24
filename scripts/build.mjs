// `npm run build` and `npm run watch`: installs what is missing, then esbuild.mjs with the same flags.

import { join } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run } from './process.mjs';

await ensureInstalled();
process.exitCode = await run(process.execPath, [join(root, 'esbuild.mjs'), ...process.argv.slice(2)]);

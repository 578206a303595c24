// `npm run bench`: builds, then runs the benchmarks and prints their table. With `-- --against REVISION` it runs this
// tree and that revision in turn and prints ratios.

import { join } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run } from './process.mjs';

await ensureInstalled();
const built = await run(process.execPath, [join(root, 'esbuild.mjs')]);
const bench = join(root, 'test', 'bench', process.argv.includes('--against') ? 'against.mjs' : 'run.mjs');
process.exitCode = built === 0 ? await run(process.execPath, [bench, ...process.argv.slice(2)]) : built;

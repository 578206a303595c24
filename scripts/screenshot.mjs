// `npm run screenshot`: makes docs/screenshot.png anew from the real editor.

import { join } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run } from './process.mjs';

await ensureInstalled();
const vitest = join(root, 'node_modules', 'vitest', 'vitest.mjs');
process.exitCode = await run(process.execPath, [vitest, 'run', '--project', 'screenshot']);

// `npm run corpus [-- PART…]`: how many of the correct sequences in test/corpus/fine stay without error and warning, and
// what is told of the others. A PART of a path leaves out all that do not have it: `npm run corpus -- plover .end.`.

import { join } from 'node:path';
import { root, run } from './process.mjs';

const corpus = join(root, 'test', 'corpus');
const scratch = join(root, 'scripts', 'scratch.mjs');
const parts = process.argv.slice(2);
process.exitCode = await run(process.execPath, [scratch, join(corpus, 'corpus.ts'), join(corpus, 'fine'), ...parts]);

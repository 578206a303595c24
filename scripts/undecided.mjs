// `npm run undecided [-- SEQUENCES [FIRST]]`: the share of verdicts about random sequences that are undecided (default:
// the first 1,000 of the soundness test), by rule and by reason.

import { join } from 'node:path';
import { root, run } from './process.mjs';

const numbers = process.argv.slice(2);
if (numbers.length > 2 || numbers.some((n) => !/^\d+$/.test(n))) {
  console.error('undecided: give whole numbers. Usage: npm run undecided [-- SEQUENCES [FIRST]]');
  process.exit(2);
}
const scratch = join(root, 'scripts', 'scratch.mjs');
process.exitCode = await run(process.execPath, [scratch, join(root, 'test', 'work', 'undecided.ts'), ...numbers]);

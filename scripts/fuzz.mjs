// `npm run fuzz [-- SEQUENCES [JOBS [FIRST [SESSIONS [TEXTS]]]]]`: what the ordinary tests do at random, many more times:
// the soundness test over random sequences (default 20,000, with 100 jobs each; what the bounds say must hold in every
// job; prints the verdicts that it met), sessions of a client with messages changed at random (default 10,000), and random
// texts and edits of a text, half of each (default 100,000 read, a twentieth of them checked as well). From seed FIRST on.

import { join } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run } from './process.mjs';

const [sequences = '20000', jobs = '100', first = '0', sessions = '10000', texts = '100000'] = process.argv.slice(2);
for (const [name, value] of Object.entries({ sequences, jobs, first, sessions, texts })) {
  if (/^\d+$/.test(value)) continue;
  console.error(
    `fuzz: ${name} is a whole number, not "${value}". Usage: npm run fuzz [-- SEQUENCES [JOBS [FIRST [SESSIONS [TEXTS]]]]]`,
  );
  process.exit(2);
}
await ensureInstalled();
process.env.BOOKEND_SEQUENCES = sequences;
process.env.BOOKEND_JOBS = jobs;
process.env.BOOKEND_FIRST = first;
process.env.BOOKEND_SESSIONS = sessions;
process.env.BOOKEND_TEXTS = texts;
process.env.BOOKEND_CHECKED = String(Math.ceil(Number(texts) / 20));
const vitest = join(root, 'node_modules', 'vitest', 'vitest.mjs');
const tests = [
  ...(texts === '0' ? [] : ['test/unit/syntax/anyText.test.ts', 'test/unit/analyze/anyInput.test.ts']),
  ...(sequences === '0' ? [] : ['test/unit/analyze/soundness.test.ts', 'test/unit/analyze/soundnessToo.test.ts']),
  ...(sessions === '0' ? [] : ['test/protocol/mutated.test.ts']),
];
// The files come first: an option before them would take one for its value.
const options = ['--project', 'engine', '--testTimeout', '0', '--maxWorkers', '1'];
process.exitCode = await run(process.execPath, [vitest, 'run', ...tests, ...options]);

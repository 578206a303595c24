// `npm run quick`: what a developer waits for between two edits. Types (incremental), lint, and the engine's tests in
// one process a core without isolation, property tests at a tenth of their runs, and nothing spawned. `npm test` is the
// whole of it. Arguments go to the tests: `npm run quick -- rules`.

import { join } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { root, run, since } from './process.mjs';

const SHARE = '0.1';

await ensureInstalled();
const bin = (...parts) => join(root, 'node_modules', ...parts);
const start = performance.now();
const env = { ...process.env, BOOKEND_SHARE: process.env.BOOKEND_SHARE ?? SHARE };

/** Runs one tool and tells how long it took. Answers its name where it failed. */
async function stage(title, script, ...args) {
  const began = performance.now();
  const code = await run(process.execPath, [script, ...args], { env });
  console.log(`${title.padEnd(6)} ${code === 0 ? 'ok    ' : 'FAILED'}  ${since(began)}`);
  return code === 0 ? null : title;
}

const buildInfo = join(root, '.cache', 'types.tsbuildinfo');
const types = [bin('typescript', 'bin', 'tsc'), '--noEmit', '--incremental', '--tsBuildInfoFile', buildInfo];
// What TypeScript's types are taken out of is kept from run to run, by content: that takes as long as the types themselves.
const kept = '--experimental.fsModuleCache';
const tests = [bin('vitest', 'vitest.mjs'), 'run', '--project', 'quick', '--reporter=dot', kept];

// The checks take one core and the tests the other, so both begin at once.
const failed = (
  await Promise.all([
    stage('types', ...types).then(async (wrong) => [
      wrong,
      await stage('lint', bin('@biomejs', 'biome', 'bin', 'biome'), 'ci', '--error-on-warnings'),
    ]),
    stage('tests', ...tests, ...process.argv.slice(2)),
  ])
)
  .flat()
  .filter(Boolean);

console.log(`\nquick: ${failed.length === 0 ? 'ok' : `FAILED (${failed.join(', ')})`} in ${since(start)}`);
process.exitCode = failed.length === 0 ? 0 : 1;

import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { configDefaults, defineConfig } from 'vitest/config';

const inAnEditor = {
  globalSetup: 'test/editor/setup.ts',
  testTimeout: 120_000,
  hookTimeout: 120_000,
  // One editor at a time: each waits for what its page shows, and a busy machine makes that slow.
  fileParallelism: false,
};

const STARTS_PROGRAMS =
  /from '(?:node:child_process|node:worker_threads|esbuild)'|scripts\/(?:bundle|kernel|package)\.mjs|dist\//;
const ENGINE = ['test/{unit,fixtures,reference,protocol}/**/*.test.ts'];

/** Test files that start other programs or build something: `npm run quick` leaves them to `npm test`. */
const spawning = readdirSync(new URL('test', import.meta.url), { recursive: true, encoding: 'utf8' })
  .map((file) => `test/${file.replaceAll('\\', '/')}`)
  .filter(
    (file) => file.endsWith('.test.ts') && STARTS_PROGRAMS.test(readFileSync(new URL(file, import.meta.url), 'utf8')),
  );

// Two projects of tests: "engine" needs Node only; "editor" drives a real VS Code in a real browser (see test/editor/).
export default defineConfig({
  test: {
    // One process a core; by itself it would leave one idle, and half of two is a lot.
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'engine',
          include: ENGINE,
          // A slow machine with all cores at work takes its time over a property test.
          testTimeout: 20_000,
        },
      },
      // `npm run quick`: the engine's tests in the same processes one after another, with fewer runs of each property.
      {
        resolve: {
          alias: [
            { find: /^fast-check$/, replacement: fileURLToPath(new URL('test/quick/fastCheck.ts', import.meta.url)) },
          ],
        },
        test: {
          name: 'quick',
          include: ENGINE,
          exclude: [...configDefaults.exclude, ...spawning],
          isolate: false,
          testTimeout: 20_000,
        },
      },
      { test: { ...inAnEditor, name: 'editor', include: ['test/editor/**/*.test.ts'] } },
      // `npm run screenshot`: no test, but it needs all that the editor tests need.
      { test: { ...inAnEditor, name: 'screenshot', include: ['test/editor/screenshot.ts'] } },
    ],
  },
});

import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { configDefaults, defineConfig } from 'vitest/config';

/** What hangs comes to an end; what is slow on a machine that others use as well does not fail. No test has a limit of its own. */
const PATIENT = { testTimeout: 600_000, hookTimeout: 600_000 };

const inAnEditor = {
  globalSetup: 'test/editor/setup.ts',
  ...PATIENT,
  // One editor at a time: each waits for what its page shows, and a busy machine makes that slow.
  fileParallelism: false,
};

/** Files of a project share processes; each leaves them as it found them. */
const SHARED = { isolate: false, setupFiles: 'test/leaveNothing.ts' };

const STARTS_PROGRAMS =
  /from '(?:node:child_process|node:worker_threads|esbuild|@vscode\/vsce)'|scripts\/(?:bundle|kernel|package)\.mjs|dist\//;
const ENGINE = ['test/{unit,fixtures,reference,protocol,corpus}/**/*.test.ts'];

/** How work grows with a text: each counts all the code of its process, unoptimized, so each has a process to itself. */
const GROWTH = ['test/{unit,protocol}/**/work*.test.ts'];

/** Test files that start other programs or build something, themselves or in what they import of the tests. */
const spawning = readdirSync(new URL('test', import.meta.url), { recursive: true, encoding: 'utf8' })
  .map((file) => `test/${file.replaceAll('\\', '/')}`)
  .filter((file) => file.endsWith('.test.ts') && startsPrograms(new URL(file, import.meta.url)));

function startsPrograms(file: URL): boolean {
  const text = readFileSync(file, 'utf8');
  const helpers = [...text.matchAll(/from '(\.[^']*\.ts)'/g)].map(([, path = '']) => new URL(path, file));
  return STARTS_PROGRAMS.test(text) || helpers.some((one) => one.pathname.includes('/test/') && startsPrograms(one));
}

// Tests that need Node only are the projects "engine" and "growth". The files of "engine" run in the same processes one after
// another, since what is loaded and compiled for one is there for the next: twelve short ones in a process each took a third
// more time. "editor" drives a real VS Code in a real browser (see test/editor/).
export default defineConfig({
  test: {
    // One process a core; by itself it would leave one idle, and half of two is a lot.
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'engine',
          include: ENGINE,
          exclude: [...configDefaults.exclude, ...GROWTH],
          ...SHARED,
          ...PATIENT,
        },
      },
      { test: { name: 'growth', include: GROWTH, ...PATIENT } },
      // `npm run quick`: the engine's tests with fewer runs of each property; what starts other programs is left to `npm test`.
      {
        resolve: {
          alias: [
            { find: /^fast-check$/, replacement: fileURLToPath(new URL('test/quick/fastCheck.ts', import.meta.url)) },
          ],
        },
        test: {
          name: 'quick',
          include: ENGINE,
          exclude: [...configDefaults.exclude, ...spawning, ...GROWTH],
          ...SHARED,
          ...PATIENT,
        },
      },
      { test: { ...inAnEditor, name: 'editor', include: ['test/editor/**/*.test.ts'] } },
      // `npm run screenshot`: no test, but it needs all that the editor tests need.
      { test: { ...inAnEditor, name: 'screenshot', include: ['test/editor/screenshot.ts'] } },
    ],
  },
});

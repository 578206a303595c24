import { defineConfig } from 'vitest/config';

const inAnEditor = {
  globalSetup: 'test/editor/setup.ts',
  testTimeout: 120_000,
  hookTimeout: 120_000,
  // One editor at a time: each waits for what its page shows, and a busy machine makes that slow.
  fileParallelism: false,
};

// Two projects of tests: "engine" needs Node only; "editor" drives a real VS Code in a real browser (see test/editor/).
export default defineConfig({
  test: {
    // One process a core; by itself it would leave one idle, and half of two is a lot.
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'engine',
          include: ['test/{unit,fixtures,reference,protocol}/**/*.test.ts'],
          // A slow machine with all cores at work takes its time over a property test.
          testTimeout: 20_000,
        },
      },
      { test: { ...inAnEditor, name: 'editor', include: ['test/editor/**/*.test.ts'] } },
      // `npm run screenshot`: no test, but it needs all that the editor tests need.
      { test: { ...inAnEditor, name: 'screenshot', include: ['test/editor/screenshot.ts'] } },
    ],
  },
});

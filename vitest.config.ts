import { defineConfig } from 'vitest/config';

// Two projects: "engine" needs Node only; "editor" drives a real VS Code in a real browser (see test/editor/).
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'engine',
          include: ['test/{unit,fixtures,reference,protocol}/**/*.test.ts'],
        },
      },
      {
        test: {
          name: 'editor',
          include: ['test/editor/**/*.test.ts'],
          globalSetup: 'test/editor/setup.ts',
          testTimeout: 120_000,
          hookTimeout: 120_000,
          // One editor at a time: two cores, and waits that mean something.
          fileParallelism: false,
          sequence: { concurrent: false },
        },
      },
    ],
  },
});

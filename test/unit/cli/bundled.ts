import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/** Bundles the command line into a file as esbuild.mjs does it, so that what runs is never older than the sources. */
export const bundleCli = (outfile: string): Promise<unknown> =>
  build({
    absWorkingDir: fileURLToPath(new URL('../../../', import.meta.url)),
    entryPoints: ['server/src/cli.ts'],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    mainFields: ['module', 'main'],
    logLevel: 'error',
  });

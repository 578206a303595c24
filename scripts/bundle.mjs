// Node 20 does not read TypeScript: bundles a module of the engine in memory and imports the result.

import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/** The exports of a TypeScript module, by its path from the repository's root. */
export async function importEngine(entry) {
  const { outputFiles } = await build({
    absWorkingDir: fileURLToPath(new URL('..', import.meta.url)),
    entryPoints: [entry],
    bundle: true,
    write: false,
    format: 'esm',
    platform: 'node',
    mainFields: ['module', 'main'],
    logLevel: 'warning',
  });
  const code = Buffer.from(outputFiles[0].contents).toString('base64');
  return import(`data:text/javascript;base64,${code}`);
}

import type { BuildResult } from 'esbuild';

/** Types of esbuild.mjs for the tests. */
export function bundle(out: string): Promise<BuildResult<{ metafile: true; write: false }>>;

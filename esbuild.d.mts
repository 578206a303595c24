import type { BuildResult } from 'esbuild';

/** Types of esbuild.mjs for the tests. */
export const outputNames: readonly string[];
export function bundle(out: string): Promise<BuildResult<{ metafile: true; write: false }>>;

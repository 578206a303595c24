// The benchmark of finished programs: `node test/bench/programs.mjs`. Needs `grep`, `unzip`, `taskset` and 1 GB of room for
// temporary files.

import { spawnSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { buildAll } from '../../esbuild.mjs';

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = await mkdtemp(join(tmpdir(), 'bookend-bench-'));
try {
  await buildAll();
  const outfile = join(folder, 'programs.mjs');
  await build({
    stdin: {
      contents: `
        import { runOne, runPrograms } from './test/bench/programs.ts';
        const [what, path, times] = process.argv.slice(2);
        if (what === 'one') console.log(JSON.stringify(runOne(path, Number(times))));
        else {
          const rows = runPrograms(process.argv[1], ${JSON.stringify(join(root, 'dist', 'cli.js'))});
          const lines = [['what', 'figure', 'goal', 'met'], ...rows.map((r) => [r.what, r.figure, r.goal, r.met === null ? '' : r.met ? 'yes' : 'NO'])];
          const widths = lines[0].map((_, i) => Math.max(...lines.map((l) => l[i].length)));
          for (const line of lines) console.log(line.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  '));
        }`,
      resolveDir: root,
      loader: 'ts',
    },
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    mainFields: ['module', 'main'],
    outfile,
    logLevel: 'warning',
    banner: { js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);" },
  });
  process.exitCode = spawnSync(process.execPath, [outfile], { stdio: 'inherit' }).status ?? 1;
} finally {
  await rm(folder, { recursive: true, force: true });
}

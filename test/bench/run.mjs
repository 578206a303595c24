// The benchmarks: `npm run bench`. Prints one table of medians and p95, with the goal beside each figure.
// Timings are of this machine at this moment: compare rows of one run, not runs of different days.

import { mkdtemp, readdir, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = await mkdtemp(join(tmpdir(), 'bookend-bench-'));
try {
  const outfile = join(folder, 'bench.mjs');
  await build({
    entryPoints: [join(root, 'test/bench/bench.ts')],
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    mainFields: ['module', 'main'],
    outfile,
    logLevel: 'warning',
    // vscode-jsonrpc is CommonJS and requires Node's own modules.
    banner: { js: "import { createRequire } from 'node:module'; const require = createRequire(import.meta.url);" },
  });
  const { runAll } = await import(pathToFileURL(outfile).href);
  const rows = await runAll({ server: join(root, 'dist/server.js') });
  const size = async (path) => (await stat(path)).size / 1000;
  rows.push(sizeRow('dist/server.js, minified', await size(join(root, 'dist/server.js')), 700));
  const vsix = (await readdir(root)).filter((name) => name.endsWith('.vsix'));
  for (const name of vsix) rows.push(sizeRow(name, await size(join(root, name)), 1500));
  if (vsix.length === 0) console.log('(no .vsix here yet: npm run package)');
  print(rows);
} finally {
  await rm(folder, { recursive: true, force: true });
}

function sizeRow(name, kB, goal) {
  return { name, figure: `${kB.toFixed(0)} kB`, p95: '', goal: `${goal} kB`, met: kB <= goal };
}

function print(rows) {
  const lines = [
    ['what', 'median', 'p95', 'goal', 'met'],
    ...rows.map((r) => [r.name, r.figure, r.p95, r.goal, r.met ? 'yes' : 'NO']),
  ];
  const widths = lines[0].map((_, i) => Math.max(...lines.map((l) => l[i].length)));
  for (const line of lines)
    console.log(line.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  '));
}

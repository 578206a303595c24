// Builds dist/: the language server, its thread for whole files, the command line and both halves of the extension,
// each one file.
// Usage: node esbuild.mjs [--dev] [--watch]
//   --dev    readable output with linked source maps (for F5 and for reading stack traces)
//   --watch  as --dev, and builds again on every change until it is ended

import { chmod, mkdir, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, context } from 'esbuild';
import { billOfMaterials, bomFile } from './scripts/bom.mjs';
import { notices } from './scripts/notices.mjs';

const root = fileURLToPath(new URL('.', import.meta.url));
const dist = join(root, 'dist');
const noticesFile = 'third-party-licenses.txt';
const shebang = '#!/usr/bin/env node';

/** One row per output: where it runs decides format, platform and what stays outside. */
const outputs = [
  { out: 'server.js', entry: 'server/src/node.ts', platform: 'node', format: 'cjs' },
  { out: 'inspection-thread.js', entry: 'server/src/inspectionThread.ts', platform: 'node', format: 'cjs' },
  { out: 'cli.js', entry: 'server/src/cli.ts', platform: 'node', format: 'cjs' },
  { out: 'client.js', entry: 'client/src/node.ts', platform: 'node', format: 'cjs', external: ['vscode'] },
  {
    out: 'browser-client.js',
    entry: 'client/src/browser.ts',
    platform: 'browser',
    format: 'cjs',
    external: ['vscode'],
  },
  { out: 'browser-server.js', entry: 'server/src/browser.ts', platform: 'browser', format: 'iife' },
];

/**
 * Leaves the rules' explanations and examples out of all but the command line: besides it, only the reference pages and
 * the tests read them. As the formatter writes them; what does not match simply stays.
 */
const PAGE = /^ {2}(?:why: '(?:[^'\\]|\\.)*'|(?:bad|good): \{(?:[^{}'`]|'(?:[^'\\]|\\.)*'|`(?:[^`\\]|\\.)*`)*\}),\n/gm;
const withoutPages = {
  name: 'without-pages',
  setup({ onLoad }) {
    onLoad({ filter: /server[\\/]src[\\/]rules[\\/]\w+\.ts$/ }, async ({ path }) => {
      const text = await readFile(path, 'utf8');
      const short = text.replace(PAGE, '');
      return { contents: short, loader: 'ts' };
    });
  },
};

/** esbuild's options for one row. VS Code 1.91 and the command line both run on Node 20. */
async function options({ out, entry, platform, format, external = [] }, dev) {
  return {
    absWorkingDir: root,
    entryPoints: [entry],
    outfile: join('dist', out),
    bundle: true,
    platform,
    format,
    external,
    target: platform === 'node' ? 'node20' : 'es2022',
    // UMD packages hide their requires from a bundler: take the ES module where there is one.
    mainFields: platform === 'node' ? ['module', 'main'] : ['browser', 'module', 'main'],
    minify: !dev,
    charset: 'utf8',
    plugins: out !== 'cli.js' && !dev ? [withoutPages] : [],
    sourcemap: dev ? 'linked' : false,
    // Licences go into one file of their own, see notices().
    legalComments: 'none',
    metafile: true,
    logLevel: 'warning',
    banner: out === 'cli.js' && !(await startsWithShebang(join(root, entry))) ? { js: shebang } : {},
  };
}

async function startsWithShebang(path) {
  return (await readFile(path, 'utf8')).startsWith('#!');
}

/** The names of all outputs. */
export const outputNames = outputs.map(({ out }) => out);

/** One output as it is shipped, in memory: for tests. */
export async function bundle(out) {
  const row = outputs.find((one) => one.out === out);
  return build({ ...(await options(row, false)), write: false });
}

/** Leaves in dist/ only what this build wrote, so that an old source map is never packaged. */
async function tidy(dev) {
  const written = outputs.flatMap(({ out }) => (dev ? [out, `${out}.map`] : [out]));
  const keep = new Set([...written, noticesFile, bomFile, 'package.json']);
  for (const name of await readdir(dist)) if (!keep.has(name)) await rm(join(dist, name), { recursive: true });
  if (process.platform !== 'win32') await chmod(join(dist, 'cli.js'), 0o755);
}

async function printSizes() {
  for (const { out } of outputs) {
    const { size } = await stat(join(dist, out));
    console.log(`  dist/${out.padEnd(18)} ${(size / 1000).toFixed(1).padStart(7)} kB`);
  }
}

/** Builds once. Throws esbuild's error (already printed) when a source does not compile. */
export async function buildAll({ dev = false } = {}) {
  await mkdir(dist, { recursive: true });
  // The repository is "type": "module"; VS Code's extension host loads CommonJS.
  await writeFile(join(dist, 'package.json'), '{ "type": "commonjs" }\n');
  const results = await Promise.all(outputs.map(async (row) => build(await options(row, dev))));
  await writeFile(join(dist, noticesFile), notices(results.map(({ metafile }) => metafile)));
  const bundles = Object.fromEntries(outputs.map(({ out }, i) => [out, results[i].metafile]));
  await writeFile(join(dist, bomFile), `${JSON.stringify(billOfMaterials(bundles), null, 2)}\n`);
  await tidy(dev);
  await printSizes();
}

async function watchAll() {
  await buildAll({ dev: true });
  const contexts = await Promise.all(
    outputs.map(async (row) => context({ ...(await options(row, true)), logLevel: 'info' })),
  );
  await Promise.all(contexts.map((one) => one.watch()));
  console.log('Watching for changes. Ctrl+C ends it.');
}

if (basename(process.argv[1] ?? '') === 'esbuild.mjs') {
  const flags = process.argv.slice(2);
  const unknown = flags.filter((flag) => flag !== '--dev' && flag !== '--watch');
  if (unknown.length > 0) {
    console.error(`esbuild.mjs knows --dev and --watch, not ${unknown.join(' ')}.`);
    process.exit(2);
  }
  const run = flags.includes('--watch') ? watchAll() : buildAll({ dev: flags.includes('--dev') });
  run.catch((error) => {
    // esbuild has printed its own errors; anything else is new to the reader.
    if (!error?.errors) console.error(error);
    process.exit(1);
  });
}

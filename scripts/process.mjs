// Starting other programs and ending them again, the same on Linux, macOS and Windows.

import { spawn, spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** The repository's folder, absolute. */
export const root = fileURLToPath(new URL('..', import.meta.url));

const windows = process.platform === 'win32';

/**
 * Runs a program to its end with this program's own output. Answers its exit code (1 when a signal ended it).
 * Standard input is closed: no step may wait for an answer. `started` is called with the child once it runs.
 */
export function run(command, args, { started, ...options } = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, { cwd: root, stdio: ['ignore', 'inherit', 'inherit'], ...options });
    if (started) child.once('spawn', () => started(child));
    child.once('error', reject);
    child.once('close', (code) => resolve(code ?? 1));
  });
}

/** Runs a program quietly. Answers its exit code and all that it printed. */
export function capture(command, args, options = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, { cwd: root, ...options, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    child.stdout.on('data', (chunk) => {
      output += chunk;
    });
    child.stderr.on('data', (chunk) => {
      output += chunk;
    });
    child.once('error', reject);
    child.once('close', (code) => resolve({ code: code ?? 1, output }));
  });
}

/**
 * How to call npm: command, first arguments and spawn options. Under `npm run` the running npm is named in the
 * environment; else it is looked for on the path, where Windows keeps a command file that needs a shell.
 */
export function npmCommand() {
  const running = process.env.npm_execpath;
  if (running && /npm-cli\.c?js$/.test(running)) return { command: process.execPath, first: [running], options: {} };
  return { command: 'npm', first: [], options: { shell: windows } };
}

/** Starts a program that may start others, in a group of its own so that endTree() reaches them all. */
export function startTree(command, args, options = {}) {
  return spawn(command, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], ...options, detached: !windows });
}

/** Asks a program started by startTree() and all its children to end, and insists after 5 s. Waits for the end. */
export async function endTree(child) {
  if (child.pid === undefined || child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise((resolve) => child.once('exit', resolve));
  signalTree(child.pid, 'SIGTERM');
  const insist = setTimeout(() => signalTree(child.pid, 'SIGKILL'), 5000);
  await ended;
  clearTimeout(insist);
  // The first process is gone; a child that outlived it still answers to the group.
  if (!windows) signalTree(child.pid, 'SIGKILL');
}

/** Sends a signal to a whole group by its id, at once. On Windows the tree is always ended by force. */
export function signalTree(pid, signal) {
  if (windows) {
    spawnSync('taskkill', ['/pid', String(pid), '/T', '/F'], { stdio: 'ignore' });
    return;
  }
  try {
    process.kill(-pid, signal);
  } catch {
    // Nothing of the group is left.
  }
}

/** Seconds since a `performance.now()` reading, for people: "3.4 s". */
export function since(start) {
  return `${((performance.now() - start) / 1000).toFixed(1)} s`;
}

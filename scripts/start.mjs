// `npm start`: installs what is missing, builds, packages the extension and opens it with demo/ in a real VS Code
// in the browser. Ctrl+C ends all it started. `npm start -- --no-open` only prints the address.

import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { fetchEditorServer, installExtension, startEditor } from './editor-host.mjs';
import { ensureInstalled } from './install.mjs';
import { packageExtension } from './package.mjs';
import { root } from './process.mjs';

const flags = process.argv.slice(2);
const unknown = flags.filter((flag) => flag !== '--no-open');
if (unknown.length > 0) {
  console.error(`npm start knows --no-open, not ${unknown.join(' ')}.`);
  process.exit(2);
}

try {
  await start();
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}

async function start() {
  const folder = join(root, 'demo');
  if (!existsSync(folder)) throw new Error(`There is no ${folder} to open.`);
  await ensureInstalled();
  const vsix = await packageExtension();
  const serverMain = await fetchEditorServer();
  const userData = join(root, '.editor', 'data');
  const extensions = join(root, '.editor', 'extensions');
  await installExtension({ serverMain, vsix, userData, extensions });
  const editor = await startEditor({ serverMain, userData, extensions });

  const stop = once(async () => {
    console.log('\nEnding the editor …');
    await editor.end();
  });
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, stop);
  if (process.env.npm_lifecycle_event) onParentGone(stop);

  const address = `${editor.url}?folder=${encodeURIComponent(asUrlPath(folder))}`;
  console.log(`\nBookend is open at\n\n  ${address}\n\nCtrl+C ends it.`);
  if (process.stdout.isTTY && !process.env.CI && !flags.includes('--no-open')) openInBrowser(address);
  await editor.ended;
}

/**
 * npm starts this script through a shell. A signal sent to npm alone (not Ctrl+C, which reaches all of them) ends
 * npm and the shell and never arrives here; what arrives is another parent.
 */
function onParentGone(action) {
  const parent = process.ppid;
  const watch = setInterval(() => {
    if (process.ppid === parent) return;
    clearInterval(watch);
    action();
  }, 500);
  watch.unref();
}

/** C:\work\demo is /C:/work/demo in an address. */
function asUrlPath(path) {
  const slashed = path.replaceAll('\\', '/');
  return slashed.startsWith('/') ? slashed : `/${slashed}`;
}

/** A convenience only: the address is printed in any case, so a failure is no news. */
function openInBrowser(address) {
  const [command, ...args] = {
    darwin: ['open', address],
    win32: ['rundll32', 'url.dll,FileProtocolHandler', address],
  }[process.platform] ?? ['xdg-open', address];
  const child = spawn(command, args, { stdio: 'ignore', detached: true });
  child.on('error', () => {});
  child.unref();
}

function once(action) {
  let called = false;
  return () => {
    if (called) return;
    called = true;
    action();
  };
}

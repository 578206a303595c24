// Installs the npm packages when they are missing or older than package-lock.json. Uses node: modules only,
// since it runs before anything is installed.

import { statSync } from 'node:fs';
import { join } from 'node:path';
import { npmCommand, root, run, since } from './process.mjs';

/** Runs `npm ci` if it is needed. Throws with a plain message when npm fails. */
export async function ensureInstalled() {
  if (isInstalled()) return;
  const start = performance.now();
  console.log('Installing npm packages …');
  const npm = npmCommand();
  const code = await run(npm.command, [...npm.first, 'ci', '--no-audit', '--no-fund'], npm.options);
  if (code !== 0) throw new Error(`npm ci failed (exit code ${code}). Is the npm registry reachable?`);
  console.log(`Installed in ${since(start)}.`);
}

/** npm writes node_modules/.package-lock.json last, so its time tells when the installation was finished. */
function isInstalled() {
  const installed = modified(join(root, 'node_modules', '.package-lock.json'));
  return installed > 0 && installed >= modified(join(root, 'package-lock.json'));
}

function modified(path) {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
}

// `npm run package`: builds and makes bookend-<version>.vsix, the file for "Install from VSIX…".

import { readFileSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import { ensureInstalled } from './install.mjs';
import { isMain } from './main.mjs';
import { root } from './process.mjs';

/** Packages the extension to `path`, or to its usual place in the repository. Answers the path. */
export async function packageExtension(path) {
  const { name, version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const packagePath = path ?? join(root, `${name}-${version}.vsix`);
  // Imported late: installed by ensureInstalled(). vsce runs vscode:prepublish, which is the build.
  const { createVSIX } = await import('@vscode/vsce');
  await createVSIX({
    cwd: root,
    packagePath,
    dependencies: false,
    allowMissingRepository: true,
    rewriteRelativeLinks: false,
  });
  return packagePath;
}

if (isMain(import.meta.url)) {
  await ensureInstalled();
  const path = await packageExtension();
  console.log(`${relative(process.cwd(), path)}: ${(statSync(path).size / 1000).toFixed(1)} kB`);
}

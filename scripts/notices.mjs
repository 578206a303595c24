// The licence texts of the packages that were bundled, as their licences ask of every copy.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './process.mjs';

/** One text for all packages that stand in esbuild's metafiles, sorted by name. */
export function notices(metafiles) {
  const folders = new Set(metafiles.flatMap(bundledFolders));
  const sections = [...folders].map(section).sort();
  return `Bookend's bundled files contain these packages.\n\n${sections.join('\n')}`;
}

/** The folders of the packages that stand in a metafile, from the repository's root. */
export const bundledFolders = (metafile) => [
  ...new Set(Object.keys(metafile.inputs).flatMap((path) => packageFolder(path) ?? [])),
];

/** node_modules/@scope/name/lib/x.js -> node_modules/@scope/name; the innermost package counts. */
function packageFolder(path) {
  return /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0];
}

function section(folder) {
  const { name, version, license } = JSON.parse(readFileSync(join(root, folder, 'package.json'), 'utf8'));
  const file = readdirSync(join(root, folder)).find((entry) => /^licen[cs]e/i.test(entry));
  const text = file ? readFileSync(join(root, folder, file), 'utf8').trim() : '';
  return `---- ${name} ${version} (${license})\n\n${text}\n`;
}

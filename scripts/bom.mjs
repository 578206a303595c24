// The bill of materials: which packages are in the bundled files, for whoever has to know whether a fault that became
// known in one of them concerns Bookend. In CycloneDX 1.6 (ECMA-424), as JSON.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { bundledFolders } from './notices.mjs';
import { root } from './process.mjs';

/** Where it stands in dist/ and in the packaged extension. */
export const bomFile = 'bom.cdx.json';

/**
 * The bill of materials of bundles. The same build gives the same bytes: it holds no time and no random number.
 * @param bundles What esbuild's metafiles say, by the name of the file that was written.
 * @param lock package-lock.json: versions, licenses and checksums of what is installed.
 * @param manifest package.json of the whole.
 */
export function billOfMaterials(bundles, lock = readRoot('package-lock.json'), manifest = readRoot('package.json')) {
  const folders = [...new Set(Object.values(bundles).flatMap((metafile) => bundledFolders(metafile)))].sort();
  const own = `pkg:npm/${manifest.name}@${manifest.version}`;
  const references = new Map(folders.map((folder) => [folder, purlOf(folder, locked(lock, folder))]));
  const filesWith = (folder) => Object.keys(bundles).filter((file) => bundledFolders(bundles[file]).includes(folder));
  return {
    $schema: 'http://cyclonedx.org/schema/bom-1.6.schema.json',
    bomFormat: 'CycloneDX',
    specVersion: '1.6',
    version: 1,
    metadata: {
      lifecycles: [{ phase: 'build' }],
      component: {
        ...{ type: 'application', 'bom-ref': own, name: manifest.name, version: manifest.version, purl: own },
        licenses: licensesOf(manifest.license),
      },
    },
    components: unique(folders.map((folder) => component(folder, locked(lock, folder), filesWith(folder)))),
    dependencies: [
      { ref: own, dependsOn: reached(lock, references, '', manifest.dependencies) },
      ...unique(
        folders.map((folder) => ({
          ref: references.get(folder),
          dependsOn: reached(lock, references, folder, locked(lock, folder).dependencies),
        })),
      ),
    ],
  };
}

function component(folder, { version, license, integrity }, files) {
  const [name, group] = nameOf(folder).split('/').reverse();
  const purl = purlOf(folder, { version });
  return {
    ...{ type: 'library', 'bom-ref': purl },
    ...(group === undefined ? {} : { group }),
    ...{ name, version, scope: 'required', hashes: hashesOf(integrity), licenses: licensesOf(license), purl },
    properties: files.map((file) => ({ name: 'bookend:bundle', value: `dist/${file}` })),
  };
}

/** Two copies of one version, in different folders, are one component; it is in the files of both. */
function unique(rows) {
  const kept = new Map();
  for (const row of rows) {
    const key = row['bom-ref'] ?? row.ref;
    const before = kept.get(key);
    if (before?.properties) {
      const files = [...before.properties, ...row.properties].map(({ value }) => value);
      before.properties = [...new Set(files)].sort().map((value) => ({ name: 'bookend:bundle', value }));
    } else if (!before) kept.set(key, row);
  }
  return [...kept.values()];
}

/** The bundled packages among those that a package asks for, found as Node finds them: in the nearest folder first. */
function reached(lock, references, folder, asked = {}) {
  const found = Object.keys(asked).flatMap((name) => {
    for (let at = folder; ; at = at.slice(0, Math.max(0, at.lastIndexOf('node_modules/') - 1))) {
      const place = `${at === '' ? '' : `${at}/`}node_modules/${name}`;
      if (lock.packages[place]) return references.get(place) ?? [];
      if (at === '') return [];
    }
  });
  return [...new Set(found)].sort();
}

function locked(lock, folder) {
  const entry = lock.packages[folder];
  if (!entry) throw new Error(`${folder} is bundled and does not stand in package-lock.json: run npm install.`);
  const { version } = readRoot(`${folder}/package.json`);
  // What was bundled is what lies there, whatever the lock file says.
  if (version !== entry.version)
    throw new Error(
      `${folder} is ${version}, and package-lock.json says ${entry.version}: run npm ci, then build again.`,
    );
  return entry;
}

const nameOf = (folder) => folder.slice(folder.lastIndexOf('node_modules/') + 'node_modules/'.length);

/** A package URL: the scope is a namespace, whose @ is percent-encoded (purl specification, type npm). */
const purlOf = (folder, { version }) => `pkg:npm/${nameOf(folder).replace('@', '%40')}@${version}`;

/** An SPDX id, or an expression of several. */
const licensesOf = (license) =>
  !license ? [] : [/ (OR|AND|WITH) /.test(license) ? { expression: license } : { license: { id: license } }];

/** Of the archive in the package registry, as the lock file has it: `sha512-…` in base64. */
const hashesOf = (integrity = '') =>
  integrity
    .split(' ')
    .filter((one) => one !== '')
    .map((one) => {
      const [kind, sum] = one.split(/-(.*)/s);
      return { alg: kind.toUpperCase().replace('SHA', 'SHA-'), content: Buffer.from(sum, 'base64').toString('hex') };
    });

const readRoot = (name) => JSON.parse(readFileSync(join(root, name), 'utf8'));

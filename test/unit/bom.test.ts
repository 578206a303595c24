import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { listFiles } from '@vscode/vsce';
import { Ajv } from 'ajv';
import type { Metafile } from 'esbuild';
import { beforeAll, expect, test } from 'vitest';
import { bundle, outputNames } from '../../esbuild.mjs';
import { type Bom, billOfMaterials, bomFile } from '../../scripts/bom.mjs';

// The bill of materials against what the bundles are really made of, against what lies in node_modules, and against
// CycloneDX's own schema (1.6, ECMA-424), which @cyclonedx/cyclonedx-library ships.

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const read = (name: string) => JSON.parse(readFileSync(`${ROOT}${name}`, 'utf8'));

const bundles: Record<string, Metafile> = {};
let bom: Bom;
beforeAll(async () => {
  for (const out of outputNames) bundles[out] = (await bundle(out)).metafile;
  bom = billOfMaterials(bundles);
});

/** `name@version` of each package that a bundle is made of, read from the nearest package.json with a name. */
function packagesIn({ inputs }: Metafile): Set<string> {
  const found = new Set<string>();
  for (const path of Object.keys(inputs)) {
    const parts = path.split('/');
    const at = parts.lastIndexOf('node_modules');
    if (at < 0) continue;
    const length = parts[at + 1]?.startsWith('@') ? 3 : 2;
    const { name, version } = read(`${parts.slice(0, at + length).join('/')}/package.json`);
    found.add(`${name}@${version}`);
  }
  return found;
}

const fullName = ({ group, name, version }: Bom['components'][number]): string =>
  `${group === undefined ? '' : `${group}/`}${name}@${version}`;

test('each package of each bundle is in it, and none that is in no bundle', () => {
  expect(outputNames).toHaveLength(7);
  for (const [out, metafile] of Object.entries(bundles)) {
    const listed = bom.components
      .filter(({ properties }) => properties.some(({ value }) => value === `dist/${out}`))
      .map(fullName);
    expect(listed.sort(), out).toEqual([...packagesIn(metafile)].sort());
  }
  for (const component of bom.components) expect(component.properties, fullName(component)).not.toEqual([]);
  expect(bom.components.length).toBeGreaterThan(10);
});

test('each has a package URL, a license and the checksum of the lock file', () => {
  const locked = Object.entries<{ version: string; integrity?: string }>(read('package-lock.json').packages);
  for (const component of bom.components) {
    const name = fullName(component).replace(/@[^@]*$/, '');
    // The purl specification: a scope is a namespace, and its @ is percent-encoded.
    expect(component.purl).toBe(`pkg:npm/${name.replace('@', '%40')}@${component.version}`);
    expect(component.licenses, name).toHaveLength(1);
    const entry = locked.find(
      ([path, one]) => path.endsWith(`node_modules/${name}`) && one.version === component.version,
    );
    const sum = Buffer.from(entry?.[1].integrity?.replace('sha512-', '') ?? '', 'base64');
    expect(sum).toHaveLength(64);
    expect(component.hashes).toEqual([{ alg: 'SHA-512', content: sum.toString('hex') }]);
  }
});

test('who asks for whom: what package.json depends on, and nothing that nobody reaches', () => {
  const own = bom.metadata.component['bom-ref'];
  const of = new Map(bom.dependencies.map(({ ref, dependsOn }) => [ref, dependsOn]));
  const direct = (of.get(own) ?? []).map((purl) => decodeURIComponent(purl.replace(/^pkg:npm\/|@[^@]*$/g, '')));
  expect(direct.sort()).toEqual(Object.keys(read('package.json').dependencies).sort());
  const reached = new Set<string>();
  const follow = (ref: string): void => {
    if (reached.has(ref)) return;
    reached.add(ref);
    for (const next of of.get(ref) ?? []) follow(next);
  };
  follow(own);
  expect([...reached].sort()).toEqual([own, ...bom.components.map((one) => one['bom-ref'])].sort());
});

test('what is bundled stands under "dependencies", so that an audit without development packages sees it', () => {
  const { packages } = read('package-lock.json');
  for (const metafile of Object.values(bundles))
    for (const path of Object.keys(metafile.inputs)) {
      const folder = /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0];
      if (folder) expect(packages[folder].dev, folder).toBeUndefined();
    }
});

test('it is valid against the schema of CycloneDX 1.6, and a broken one is not', () => {
  const schema = (name: string) =>
    read(`node_modules/@cyclonedx/cyclonedx-library/res/schema/${name}.SNAPSHOT.schema.json`);
  // Formats (dates, addresses) are checked by another package; every other word of the schema counts.
  const ajv = new Ajv({ strict: false, validateFormats: false });
  for (const name of ['spdx', 'jsf-0.82'])
    ajv.addSchema(schema(name), `http://cyclonedx.org/schema/${name}.SNAPSHOT.schema.json`);
  const valid = ajv.compile(schema('bom-1.6'));
  expect(valid(bom), JSON.stringify(valid.errors)).toBe(true);
  const [first, ...rest] = bom.components;
  expect(valid({ ...bom, components: [{ ...first, type: 'thing' }, ...rest] })).toBe(false);
  expect(valid({ ...bom, components: [{ ...first, licenses: [{ license: { id: 'no license' } }] }] })).toBe(false);
});

test('the same build gives the same bytes, and a package that the lock file does not know is an error', () => {
  expect(JSON.stringify(billOfMaterials(bundles))).toBe(JSON.stringify(bom));
  expect(() => billOfMaterials(bundles, { packages: {} })).toThrow(/does not stand in package-lock\.json/);
});

test('the package holds it, and no packages beside the bundles', async () => {
  const files = await listFiles({ cwd: ROOT, packagedDependencies: [] });
  expect(files).toContain(`dist/${bomFile}`);
  expect(files.filter((file) => file.includes('node_modules'))).toEqual([]);
  // As built last; the versions cannot differ from what is installed.
  const built: Bom = read(`dist/${bomFile}`);
  expect(built.components.map(fullName)).toEqual(bom.components.map(fullName));
});

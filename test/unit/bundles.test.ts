import { expect, test } from 'vitest';
import { bundle } from '../../esbuild.mjs';

// What the files of dist/ are made of.

/** The sources that a bundle holds something of, from the repository's root, with the bytes of each. */
async function partsOf(out: string): Promise<Map<string, number>> {
  const { metafile } = await bundle(out);
  const [output] = Object.values(metafile.outputs);
  const inputs = Object.entries(output?.inputs ?? {}).map(
    ([path, { bytesInOutput }]) => [path, bytesInOutput] as const,
  );
  return new Map(inputs.filter(([, bytes]) => bytes > 0));
}

const below = (parts: Map<string, number>, folder: string): string[] =>
  [...parts.keys()].filter((path) => path.startsWith(folder));

test('the server in Node holds nothing that checks whole files: its thread does', async () => {
  // Of packages it knows the limits that settings may change.
  const parts = await partsOf('server.js');
  expect(below(parts, 'server/src/program/')).toEqual(['server/src/program/entry.ts']);
  for (const name of ['runJob', 'jobReport', 'diskJobFiles'])
    expect(parts.has(`server/src/lsp/${name}.ts`)).toBe(false);
  expect(below(await partsOf('job-thread.js'), 'server/src/program/').length).toBeGreaterThan(20);
  expect(below(await partsOf('browser-server.js'), 'server/src/program/').length).toBeGreaterThan(20);
}, 60_000);

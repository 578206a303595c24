import { expect, test } from 'vitest';
import { bundle } from '../../esbuild.mjs';
import { RULES } from '../../server/src/rules/all.ts';

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
  expect(below(parts, 'server/src/program/')).toEqual(['server/src/packages/entry.ts']);
  for (const name of ['runInspection', 'jobReport', 'diskJobFiles'])
    expect(parts.has(`server/src/lsp/${name}.ts`)).toBe(false);
  expect(below(await partsOf('inspection-thread.js'), 'server/src/program/').length).toBeGreaterThan(20);
  expect(below(await partsOf('browser-server.js'), 'server/src/program/').length).toBeGreaterThan(20);
}, 60_000);

test('only the server for browsers brings an inflater: Node has its own', async () => {
  for (const out of ['server.js', 'inspection-thread.js', 'cli.js', 'browser-server.js'])
    expect(below(await partsOf(out), 'node_modules/pako/').length > 0, out).toBe(out === 'browser-server.js');
}, 60_000);

test.each(['server.js', 'browser-server.js', 'inspection-thread.js'])(
  '%s holds no page of a rule, and nothing that reads one',
  async (out) => {
    const { outputFiles, metafile } = await bundle(out);
    const text = outputFiles[0]?.text ?? '';
    // Line breaks stand in a bundle as they are, or escaped.
    const holds = (part: string): boolean => text.includes(part) || text.includes(part.replaceAll('\n', '\\n'));
    // What a rule says is in it, what is written about the rule is not.
    for (const { id, title, why, bad, good } of RULES) {
      expect(text, id).toContain(id);
      for (const part of [why, bad.text, good.text]) expect(holds(part.slice(0, 60)), `${id}: ${title}`).toBe(false);
    }
    const readers = ['server/src/service/rulePage.ts', 'server/src/service/reference.ts', 'server/src/cli/sarif.ts'];
    for (const path of readers) expect(metafile.inputs[path], path).toBeUndefined();
  },
  60_000,
);

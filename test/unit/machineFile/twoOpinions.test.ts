import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { getLanguageService, TextDocument } from 'vscode-json-languageservice';
import { jsonSchemas } from '../../../server/src/service/jsonSchema.ts';
import { checkMachineFile } from '../../../server/src/service/machineFile.ts';
import { checkVocabularyFile } from '../../../server/src/service/vocabularyFile.ts';

// A second opinion on what is wrong with machine and vocabulary files: what vscode-json-languageservice complains about
// by the published schema, our readers complain about too. So its complaints need not be told besides ours, and one
// mistake is one finding in every editor and on the command line.

const json = getLanguageService({});
const SCHEMAS = jsonSchemas();
const CHECKS = { machine: checkMachineFile, vocabulary: checkVocabularyFile };
const BED = { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 };
const FILES = {
  machine: {
    name: 'Siskin',
    bed: BED,
    reach: { ...BED, left: -4, bottom: 0, top: 226 },
    keepOut: [{ name: 'clip', left: 9, right: 17, front: 180, back: 188, bottom: 0, top: 21 }],
    home: { x: 0, y: 0, z: 0 },
    nozzle: { diameter: 0.35 },
    heat: { nozzle: { max: 247, minExtrude: 166 }, bed: { max: 91 } },
    speed: { x: 190, e: 31 },
    tools: 2,
    controller: { dwell: 's', missing: ['G29'], namedCommands: { joins: '=', case: 'upper', letters: true } },
    commands: [{ name: 'PARK_ASIDE', meaning: 'Moves aside.', effects: [{ do: 'move-to', x: 4, y: 7 }] }],
    sequences: { start: ['./siskin.start.gcode'] },
    rules: { 'long-line': 'off' },
  },
  vocabulary: {
    name: 'Loft',
    extends: 'bookend',
    names: { 'loft.glow': { kind: 'length', range: [0, 'reach.top'], sample: 4 } },
  },
} as const;

/** The library's complaints, with what each is about. */
async function complaints(kind: keyof typeof FILES, text: string): Promise<string[]> {
  const document = TextDocument.create('file:///loft/any.json', 'jsonc', 1, text);
  const tree = json.parseJSONDocument(document);
  const settings = { comments: 'ignore', trailingCommas: 'ignore' } as const;
  const found = await json.doValidation(document, tree, settings, { ...SCHEMAS[kind] });
  return found.map(({ message }) => (typeof message === 'string' ? message : message.value));
}

test('whole files: neither has anything to say', async () => {
  for (const kind of ['machine', 'vocabulary'] as const) {
    const text = JSON.stringify(FILES[kind], null, 1);
    expect(await complaints(kind, text), kind).toEqual([]);
    expect(CHECKS[kind](text), kind).toEqual([]);
  }
});

/** Every place in a value, as a path. */
function* pathsOf(value: unknown, path: readonly (string | number)[] = []): Generator<readonly (string | number)[]> {
  if (path.length > 0) yield path;
  if (typeof value !== 'object' || value === null) return;
  for (const [key, one] of Object.entries(value))
    yield* pathsOf(one, [...path, Array.isArray(value) ? Number(key) : key]);
}

/** The file with something else at one place; `undefined`: nothing. */
function changed(file: object, path: readonly (string | number)[], value: unknown): string {
  const copy = structuredClone(file);
  const parent = path
    .slice(0, -1)
    .reduce<Record<string | number, unknown>>(
      (at, key) => at[key] as Record<string | number, unknown>,
      copy as Record<string, unknown>,
    );
  const last = path.at(-1) as string | number;
  if (value === undefined && Array.isArray(parent)) parent.splice(Number(last), 1);
  else if (value === undefined) delete parent[last];
  else parent[last] = value;
  return JSON.stringify(copy, null, 1);
}

const OTHERS: readonly unknown[] = [undefined, null, true, -3, 0.5, 1e9, '', 'plank', [], ['plank'], {}, { plank: 1 }];

describe.each(['machine', 'vocabulary'] as const)('a %s file with something else at one place', (kind) => {
  const paths = [...pathsOf(FILES[kind])];
  test.each(OTHERS.map((value) => [JSON.stringify(value) ?? 'nothing', value] as const))('%s', async (_, value) => {
    let complained = 0;
    for (const path of paths) {
      const text = changed(FILES[kind], path, value);
      const theirs = await complaints(kind, text);
      if (theirs.length === 0) continue;
      complained++;
      expect(CHECKS[kind](text).length, `${path.join('.')}: ${theirs.join(' ')}`).toBeGreaterThan(0);
    }
    expect(complained).toBeGreaterThan(kind === 'machine' ? 10 : 1);
  });
});

test('broken JSON: where it says something, so do we', async () => {
  const texts = Object.entries(FILES).map(
    ([kind, file]) => [kind as keyof typeof FILES, JSON.stringify(file)] as const,
  );
  const cut = fc.record({
    which: fc.constantFrom(...texts),
    at: fc.nat(2000),
    count: fc.nat(3),
    put: fc.constantFrom('', '{', '}', '[', ']', ',', ':', '"', '/*', '//', '\\', '5', 'x', '\n', '\0'),
  });
  await fc.assert(
    fc.asyncProperty(cut, async ({ which: [kind, text], at, count, put }) => {
      const from = at % text.length;
      const broken = text.slice(0, from) + put + text.slice(from + count);
      const theirs = await complaints(kind, broken);
      if (theirs.length > 0) expect(CHECKS[kind](broken).length, `${theirs.join(' ')}\n${broken}`).toBeGreaterThan(0);
    }),
    { numRuns: 1500, seed: 41 },
  );
});

import { readdirSync, readFileSync } from 'node:fs';
import { relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { Line } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { unmark } from './support.ts';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const MOST = 5;

/** `X5`, `F6000` of one line: words of a letter and a written number. What a tag fills in is no figure of ours. */
function figures({ commands }: Line): readonly string[] {
  const all = commands
    .flatMap((c) => c.words)
    .flatMap(({ key, value }) => (key.length === 1 && value?.type === 'number' ? [`${key}${value.number}`] : []));
  return [...new Set(all)].sort();
}

/** Every three of them, whatever else the line holds. */
const threes = (words: readonly string[]): readonly string[] =>
  words.flatMap((a, i) => words.slice(i + 1).flatMap((b, j) => words.slice(i + j + 2).map((c) => [a, b, c].join(' '))));

/** Which three figures stand together on a line in more than `MOST` of the texts: the figures, then the texts' names. */
function habits(texts: ReadonlyMap<string, string>): readonly string[] {
  const seen = new Map<string, Set<string>>();
  for (const [name, text] of texts)
    for (const three of parse(text).lines.flatMap((line) => threes(figures(line))))
      seen.set(three, (seen.get(three) ?? new Set()).add(name));
  return [...seen]
    .filter(([, names]) => names.size > MOST)
    .map(([three, names]) => `${three} in ${names.size} files: ${[...names].join(', ')}`);
}

const ours = (folder: string): readonly string[] =>
  readdirSync(`${ROOT}${folder}`, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.gcode'))
    .map((entry) => relative(ROOT, `${entry.parentPath}/${entry.name}`));

// A figure that stands everywhere is no example any more but a house style, and soon somebody's stock sequence.
describe('figures of the demo, the fixtures and the corpus', () => {
  const files = [...ours('demo'), ...ours('test/fixtures'), ...ours('test/corpus')];

  it('are all read', () => {
    expect(files.filter((name) => name.startsWith('demo/')).length).toBeGreaterThan(3);
    expect(files.length).toBeGreaterThan(400);
  });

  it(`stand three together in ${MOST} files at most`, () => {
    const texts = new Map(files.map((name) => [name, unmark(readFileSync(`${ROOT}${name}`, 'utf8'))]));
    expect(habits(texts)).toEqual([]);
  });

  it('are compared in any order, however written, and beside other words', () => {
    const lines = [
      'G1 X7 Y31 F4100',
      'G0 F4100 Y31 X7',
      'G1 X7.0 Y31 Z2 F4100',
      'g1 x7 y31 f4100 ; on',
      'F4100 X+7 Y31',
    ];
    const texts = new Map(lines.map((line, i) => [`${i}.start.gcode`, `G28\n${line}\n${line}\n`]));
    expect(habits(texts)).toEqual([]);
    texts.set('tag.start.gcode', 'G1 X7 Y31 F{{ 4100 }}\n; G1 X7 Y31 F4100\nM117 X7 Y31 F4100\n');
    expect(habits(texts)).toEqual([]);
    texts.set('last.start.gcode', 'G1 X7 Y31 E3 F4100\n');
    expect(habits(texts)).toEqual([
      'F4100 X7 Y31 in 6 files: 0.start.gcode, 1.start.gcode, 2.start.gcode, 3.start.gcode, 4.start.gcode, last.start.gcode',
    ]);
  });
});

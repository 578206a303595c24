import { expect, it } from 'vitest';
import { runCli } from './run.ts';

// What a placeholder language has and Bookend cannot follow is told in the vocabulary file, once, and is no error.

const files = {
  '/shop/dunlin.machine.json': JSON.stringify({
    name: 'Dunlin 204',
    placeholders: './own.placeholders.json',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    heat: { nozzle: { max: 262, minExtrude: 168 } },
  }),
  '/shop/own.placeholders.json': `{
  "delimiters": [["«", "»", "values"], ["‹", "›", "statements"]],
  "keywords": {"if": "when", "end": "done"},
  "expressions": {
    "functions": {"lesser": "min"}
  },
  "names": {"tip": {"kind": "temperature", "range": [180, 250]}}
}
`,
  '/shop/a.start.gcode': 'G21\nG90\nM82\nG28\nM109 S«guess(tip)»\nG92 E0\n',
  '/shop/b.start.gcode': 'G21\nG90\nM82\nG28\nM109 S«guess(tip - 2)»\nM117 «tip ^^ 2»\n‹hoist tip›\nG92 E0\n',
};

const lines = (out: string): string[] => out.split('\n').filter((row) => /own\.placeholders\.json:\d/.test(row));

it('each thing once, at its key, beside texts without a finding of it', async () => {
  const { code, out } = await runCli(['check', 'a.start.gcode', 'b.start.gcode'], files);
  expect(code).toBe(0);
  expect(out.match(/function “guess”/g)).toHaveLength(1);
  expect(out).toMatch(/own\.placeholders\.json:5:5/);
  expect(out).toMatch(/own\.placeholders\.json:4:3/);
  expect(out).toMatch(/own\.placeholders\.json:3:3/);
  expect(lines(out)).toHaveLength(3);
  expect(out).toMatch(/“hoist tip” in a sequence is none of the statements/);
  expect(out).toMatch(/“tip \^\^ 2” in a sequence is no expression/);
});

it('also where the vocabulary file is checked itself, with what is wrong in it', async () => {
  const wrong = {
    ...files,
    '/shop/own.placeholders.json': files['/shop/own.placeholders.json'].replace('"min"', '"mni"'),
  };
  const { out } = await runCli(['check', 'a.start.gcode', 'own.placeholders.json'], wrong);
  expect(out.match(/function “guess”/g)).toHaveLength(1);
  expect(out.match(/stands for “mni”/g)).toHaveLength(1);
  const alone = await runCli(['check', 'own.placeholders.json'], files);
  expect(alone.out).not.toMatch(/guess/);
});

it('nothing where all is followed', async () => {
  const { out } = await runCli(['check', 'a.start.gcode'], {
    ...files,
    '/shop/a.start.gcode': 'G21\nG90\nM82\nG28\nM109 S«lesser(tip, 230)»\nG92 E0\n',
  });
  expect(lines(out)).toEqual([]);
});

import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { draftVocabulary } from '../../../server/src/service/draftVocabulary.ts';
import type { VocabularyFile } from '../../../server/src/vocabulary/file.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { countWork, grownBeyond } from '../../work/counting.ts';
import { HERON } from './support.ts';

const draft = (text: string) => draftVocabulary(text, 'start', HERON).text;
/** The draft as it loads; a draft with an error fails. */
function loaded(text: string) {
  const { vocabulary, problems } = readVocabulary(draft(text));
  expect(problems.filter(({ severity }) => severity === 'error')).toEqual([]);
  if (!vocabulary) throw new Error('no vocabulary');
  return vocabulary;
}
const facts = (text: string, name: string) => {
  const { vocabulary } = readVocabulary(draft(text));
  return vocabularyFor(HERON, vocabulary).names.get(name);
};

// All names, delimiters and keywords here are invented.
const WHOLE = [
  '; ⟨old⟩ notes between marks (see below), 5 % of 3 % of them, a < b and c > d',
  'M140 S«slab»',
  'M104 S« tip - 20 »',
  'G28',
  '«when goods == "willow"»',
  'G1 Z«lift + 2» F«pace»',
  '«or when hurry»',
  'G1 X«west» Y«south»',
  '«otherwise»',
  'G1 Z5 E«goods == "birch" ? 1 : 2»',
  '«done»',
  'M109 S«tip»',
  'T«jar»',
  'M106 S«wind»',
  'G1 E«west» ; the same name again',
  'M117 hello «who»',
  'G1 Z«a.b» X«a»',
].join('\n');

const pairsOf = ({ language }: VocabularyFile) => language?.pairs.map(({ open, close }) => [open, close]);

describe('a draft', () => {
  it('golden: a sequence with all of it', async () => {
    await expect(draft(WHOLE)).toMatchFileSnapshot('golden/draft-whole.placeholders.json');
  });

  it('golden: a sequence without any tag', async () => {
    await expect(draft('G28\nG1 X5\n')).toMatchFileSnapshot('golden/draft-empty.placeholders.json');
  });

  it('loads, and the sequence’s tags are known by it', () => {
    const vocabulary = loaded(WHOLE);
    expect(pairsOf(vocabulary)).toEqual([['«', '»']]);
    expect(vocabulary.language?.statements).toEqual([
      { is: 'if', form: 'when' },
      { is: 'elseIf', form: 'or when' },
      { is: 'else', form: 'otherwise' },
      { is: 'end', form: 'done' },
    ]);
    const text = WHOLE.replace('\nG1 Z«a.b» X«a»', '');
    const { findings } = analyze(text, 'start', HERON, vocabularyFor(HERON, loaded(text)));
    expect(findings.map(({ rule }) => rule)).not.toContain('unknown-placeholder');
    expect(findings.map(({ rule }) => rule)).not.toContain('bad-expression');
  });

  it('infers kind, unit and range from the place of use', () => {
    expect(facts('M140 S«a»', 'a')).toMatchObject({ kind: 'temperature', range: { lo: 0, hi: 98 } });
    expect(facts('M109 S«a»', 'a')).toMatchObject({ kind: 'temperature', range: { lo: 173, hi: 268 } });
    expect(facts('G1 X«a»', 'a')).toMatchObject({ kind: 'length', range: { lo: -5, hi: 234 } });
    expect(facts('G1 Y«a»', 'a')).toMatchObject({ kind: 'length', range: { lo: -7, hi: 217 } });
    expect(facts('G1 Z«a»', 'a')).toMatchObject({ kind: 'length', range: { lo: 0, hi: 232 } });
    expect(facts('G1 X1 F«a»', 'a')).toMatchObject({ kind: 'number', unit: 'mm/min', range: null });
    expect(facts('G1 X1 E«a»', 'a')).toMatchObject({ kind: 'length', range: null });
    expect(facts('T«a»', 'a')).toMatchObject({ kind: 'count', whole: true, range: { lo: 0, hi: 0 } });
    expect(facts('M106 S«a»', 'a')).toMatchObject({ kind: 'number', range: { lo: 0, hi: 255 } });
    expect(facts('{{#a}}\nG28\n{{/a}}', 'a')).toMatchObject({ kind: 'flag' });
    expect(facts('{{# a == "x" || a == "y" }}\nG28\n{{/}}', 'a')).toMatchObject({ kind: 'text', choices: ['x', 'y'] });
  });

  it('notes uses that do not agree, and marks what is left to the person', () => {
    const text = draft('M104 S«a»\nG1 X«a»\nG1 F«b»\n');
    expect(text).toMatch(/These uses do not agree: temperature was taken, length would fit the others/);
    expect(text).toMatch(/"b": .*\/\/ fill in: range, meaning/);
  });

  it.each([
    ['{', '}'],
    ['[', ']'],
    ['<', '>'],
    ['{{', '}}'],
    ['[[', ']]'],
    ['<%', '%>'],
    ['${', '}'],
    ['%', '%'],
    ['@', '@'],
    ['‹', '›'],
  ])('finds %s %s', (open, close) => {
    const text = `; for a ⟨test⟩ of ~things~\nG28\nM104 S${open}tip${close}\nM109 S${open}tip${close} X2\n`;
    expect(pairsOf(loaded(text))).toEqual([[open, close]]);
    expect(loaded(text).names.map(({ name }) => name)).toEqual(['tip']);
  });

  it('finds several pairs in use at once', () => {
    expect(pairsOf(loaded('G1 X«a» Y⟨b⟩\nM104 S«c»'))).toEqual([
      ['«', '»'],
      ['⟨', '⟩'],
    ]);
  });

  it('takes no prose and no arithmetic for tags', () => {
    expect(draftVocabulary('; use {braces} or <these>\nG1 X[1+2] Y3 (see [a])\n', 'start', null).names).toBe(0);
  });

  it('leaves out the machine’s own names', () => {
    expect(loaded('G1 X{{ bed.left }} Y{{ mine }}').names.map(({ name }) => name)).toEqual(['mine']);
  });

  it('loads for the demo’s sequences', () => {
    for (const path of ['otter-146/otter-146.start', 'heron-228/carried-over.start', 'poplar-164/poplar-164.end'])
      loaded(readFileSync(new URL(`../../../demo/${path}.gcode`, import.meta.url), 'utf8'));
  });
});

describe('any text', () => {
  const pieces = [
    '{',
    '}',
    '{{',
    '}}',
    '[',
    ']',
    '<',
    '>',
    '«',
    '»',
    '%',
    '$',
    '${',
    'when ',
    'or when ',
    'else',
    'end',
    'a',
    'b.c',
    'new',
    'bed.left',
    '"x"',
    ' == ',
    ' + ',
    'G1 X',
    'M104 S',
    'T',
    'E',
    ';',
    '(',
    ')',
    '\n',
    ' ',
    '1',
    '😀',
    '\u2028',
    '\\',
    '*/',
    '//',
  ];

  it('gives a draft that loads without errors', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...pieces), { maxLength: 60 }), (p) => void loaded(p.join(''))),
      { seed: 21, numRuns: 1500 },
    );
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 150 }), (text) => void loaded(text)),
      { seed: 22, numRuns: 300 },
    );
  });

  it('the work for a large one grows as it does', async () => {
    const work = (n: number) => countWork(() => draft('{ [ < « % { a\n'.repeat(n)));
    await work(20); // what is made once
    expect(grownBeyond(await work(400), await work(800))).toEqual([]);
    draft('{ [ < « % { a\n'.repeat(8000));
  });
});

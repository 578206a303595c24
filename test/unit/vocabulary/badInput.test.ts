import { describe, expect, it } from 'vitest';
import { languageFor } from '../../../server/src/placeholders/languageFor.ts';
import { readExpressions } from '../../../server/src/placeholders/tags.ts';
import { tagStyleOf } from '../../../server/src/placeholders/vocabulary.ts';
import type { Finding } from '../../../server/src/rules/rule.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { checkVocabularyFile } from '../../../server/src/service/vocabularyFile.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { FORM, LANGUAGES } from './support.ts';

// Texts that are half written, and files that nobody should have written: few findings, each where its cause is.

const fixtures = LANGUAGES.map(
  ([name, { text = '', vocabulary = '' }]) =>
    [name, text, vocabularyFor(null, readVocabulary(vocabulary).vocabulary)] as const,
);
/** Findings of how a text is written. */
const formIn = (text: string, names: (typeof fixtures)[0][2]): readonly Finding[] =>
  analyze(text, 'start', null, names).findings.filter(({ rule }) => FORM.has(rule));

describe('a text while it is typed', () => {
  it.each(fixtures)(
    '%s: few findings, on the row that is written or at a section that is still open',
    (_, text, names) => {
      // Whole analyses of some beginnings; others of each fixture.
      for (let length = 1 + (text.length % 4); length <= text.length; length += 4) {
        const typed = text.slice(0, length);
        const row = typed.lastIndexOf('\n') + 1;
        const found = formIn(typed, names);
        const shown = found.map(({ rule, span }) => `${rule}: ${typed.slice(span.start, span.end)}`).join('\n');
        expect(found.length, `${typed}|\n${shown}`).toBeLessThanOrEqual(4);
        const above = found.filter(({ span }) => span.end <= row);
        expect(
          above.every(({ message }) => /never closed/.test(message)),
          `${typed}|\n${shown}`,
        ).toBe(true);
      }
    },
  );

  it.each(fixtures)('%s: every beginning is read, and every place of it lies in it', (_, text, names) => {
    const language = languageFor(names);
    for (let length = 0; length <= text.length; length++) {
      const tree = parse(text.slice(0, length), { tags: tagStyleOf(names) });
      for (const { span } of tree.problems) expect(span.end).toBeLessThanOrEqual(length);
      for (const { expr, problem } of readExpressions(tree, language).values())
        expect((expr ?? problem)?.span.end ?? 0).toBeLessThanOrEqual(length);
    }
  });
});

const LANGUAGE = {
  delimiters: [['«', '»']],
  keywords: {
    ...{ if: 'when', elseIf: 'or when', else: 'otherwise', end: 'done', unless: 'unless' },
    ...{ each: 'for ITEM in LIST', switch: 'choose by', case: 'is', set: 'set NAME = VALUE', include: 'put NAME' },
  },
  expressions: { operators: { not: 'not' }, calls: ['f(a, b)', 'a | f: b'], functions: { lesser: 'min' } },
  raw: [['«raw»', '«endraw»']],
  names: {
    tip: { kind: 'temperature', range: [180, 250] },
    heats: { kind: 'list', items: 'number', range: [1, 3] },
    warm: { kind: 'flag' },
    hot: { kind: 'flag' },
  },
};
const names = vocabularyFor(null, readVocabulary(JSON.stringify(LANGUAGE)).vocabulary);
const told = (text: string): string[] =>
  formIn(text, names).map(({ span, message }) => `${text.slice(span.start, span.end).slice(0, 30)}: ${message}`);
const MANY = 1000;

describe('a construct that is not closed', () => {
  it.each([
    ['a value', 'M104 S«tip\nG28\n', '«tip'],
    ['an if', '«when warm»\nG28\n', '«when warm»'],
    ['an unless', '«unless warm»\nG28\n', '«unless warm»'],
    ['an else-if', '«when warm»\nG28\n«or when hot»\nG4 P1\n', '«or when hot»'],
    ['an else', '«when warm»\nG28\n«otherwise»\nG4 P1\n', '«otherwise»'],
    ['a loop', '«for h in heats»\nG28\n', '«for h in heats»'],
    ['a switch', '«choose by tip»\n«is 200»\nG28\n', '«choose by tip»'],
    ['a copied stretch', '«raw»\nM117 «tip»\nG28\n', '«raw»'],
    ['a text in quotes', 'M117 «"tip»\nG28\n', '«"tip»'],
    ['a bracket', 'M104 S«(tip + 4»\nG28\n', '»'],
    ['a call', 'M104 S«lesser(tip, 4»\nG28\n', '»'],
    ['an end without a section', 'G28\n«done»\n', '«done»'],
    ['an else without a section', 'G28\n«otherwise»\nG4 P1\n', '«otherwise»'],
    ['a set without its value', '«set lift =»\nG28\n', '«set lift =»'],
    ['a loop without its list', '«for h»\nG28\n«done»\n', '«for h»'],
  ])('%s is told once, where it is', (_, text, marked) => {
    const found = formIn(text, names);
    expect(found.map(({ message }) => message)).toHaveLength(1);
    const [{ span } = { span: { start: -1, end: -1 } }] = found;
    const at = text.indexOf(marked);
    expect(span.start).toBeGreaterThanOrEqual(Math.max(0, at - 8));
    expect(span.start).toBeLessThanOrEqual(at + marked.length);
  });
});

describe('a thousand of something', () => {
  const nested = (open: string, close: string, inner = 'G28\n'): string =>
    open.repeat(MANY) + inner + close.repeat(MANY);

  it.each([
    ['sections', nested('«when warm»\n', '«done»\n')],
    ['negated sections', nested('«unless warm»\n', '«done»\n')],
    ['loops', nested('«for h in heats»\n', '«done»\n')],
    ['switches', nested('«choose by tip»\n«is 200»\n', '«done»\n')],
    ['branches', `«when warm»\n${'«or when tip > 200»\nG28\n'.repeat(MANY)}«done»\n`],
    ['texts put in', '«put part»\n'.repeat(MANY)],
    [
      'names set from one another',
      `${Array.from({ length: MANY }, (_, i) => `«set a${i} = ${i > 0 ? `a${i - 1}` : 'tip'} + 1»\n`).join('')}M104 S«a999»\n`,
    ],
    ['calls behind one another', `M104 S«tip${' | lesser: 1'.repeat(MANY / 4)}»\n`],
  ])('%s: nothing is told of how it is written', (_, text) => {
    const wrong = formIn(text, names).filter(({ rule }) => rule !== 'always-same' && rule !== 'commented-placeholder');
    expect(wrong.map(({ message }) => message)).toEqual([]);
  });

  it.each([
    ['brackets', `M104 S«${'('.repeat(MANY)}tip${')'.repeat(MANY)}»\n`, /nested more than 100 deep/],
    ['nots', `«when ${'not '.repeat(900)}warm»\nG28\n«done»\n`, /nested more than 100 deep/],
    ['calls', `M104 S«${'lesser('.repeat(MANY)}tip${', 1)'.repeat(MANY)}»\n`, /characters long/],
    ['openers', `${'«'.repeat(MANY / 4)}\n`, /is not closed/],
    ['copied stretches without an end', '«raw»\n'.repeat(MANY), /never closed/],
  ])('%s in one another are told once', (_, text, message) => {
    const found = told(text);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(message);
  });

  it('sections without an end, and ends without a section, are told of the first few', () => {
    const open = told('«when warm»\n'.repeat(MANY)).filter((one) => /never closed/.test(one));
    expect(open).toHaveLength(20);
    expect(open.at(-1)).toMatch(/So it is with 980 more sections/);
    expect(told('«done»\n'.repeat(MANY))).toHaveLength(20);
  });

  it('are filled in without a crash, and told where they go too deep', () => {
    const text = `${nested('«when warm»\n', '«done»\n')}M104 S«${'('.repeat(MANY)}tip${')'.repeat(MANY)}»\n`;
    const { text: filled, problems } = fillIn(
      analyze(text, 'start', null, names),
      names,
      { warm: true, tip: 200 },
      false,
    );
    expect(filled).toBe('G28\nM104 S\n');
    expect(problems.map(({ message }) => message).join()).toMatch(/nested more than 100 deep/);
  });
});

describe('what goes round in a circle', () => {
  it.each([
    ['a name set from itself', '«set a = a + 1»\nG4 P«a»\n', 'a + 1'],
    ['names set from one another', '«set a = b»\n«set b = a»\nG4 P«a»\n', 'b'],
  ])('%s is told once, where it begins', (_, text, marked) => {
    const found = formIn(text, names).filter(({ message }) => /set from itself/.test(message));
    expect(found.map(({ span }) => text.slice(span.start, span.end))).toEqual([marked]);
  });

  it('a text that puts itself in is text that nobody knows, and no fault', () => {
    expect(told('«put itself»\nG28\n')).toEqual([]);
    const { problems } = fillIn(analyze('«put itself»\n', 'start', null, names), names, {}, false);
    expect(problems.map(({ message }) => message).join()).toMatch(/another text to be put in here/);
  });
});

describe('several unknowns in one word', () => {
  it.each([
    ['a code that a section chooses', 'M10«when warm»4«otherwise»9«done» S«tip»\n'],
    ['a digit that may be left out', 'M1«when warm»0«done»4 S200\n'],
    ['two sections in one code', 'M10«when warm»4«otherwise»9«done» T«when hot»0«otherwise»1«done» S«tip»\n'],
    ['two sections in one number', 'M104 S2«when warm»0«otherwise»1«done»«when hot»0«otherwise»5«done»\n'],
  ])('%s has no finding of form', (_, text) => {
    expect(told(text)).toEqual([]);
  });
});

describe('a vocabulary file that nobody should have written', () => {
  const messages = (text: string): string[] => checkVocabularyFile(text).map(({ message }) => message);

  it('of more than 10 MB is told once, and not read', () => {
    const list = Array.from({ length: 400_000 }, (_, i) => `{"name": "n${i}", "kind": "length"}`).join(',');
    const text = `{"names": [${list}]}`;
    expect(text.length).toBeGreaterThan(10_000_000);
    expect(messages(text)).toEqual([
      expect.stringMatching(/has \d+ characters; vocabulary files are read up to 10000000/),
    ]);
    expect(readVocabulary(text).vocabulary).toBeNull();
  });

  it.each([
    ['delimiters', `{"delimiters": [${Array.from({ length: 20_000 }, (_, i) => `["<${i}", ">"]`).join(',')}]}`],
    ['words', `{"keywords": {"end": [${Array.from({ length: 20_000 }, (_, i) => `"w${i}"`).join(',')}]}}`],
    [
      'operators',
      `{"expressions": {"operators": {"and": [${Array.from({ length: 20_000 }, (_, i) => `"w${i}"`).join(',')}]}}}`,
    ],
    ['names', `{"names": {${Array.from({ length: 20_000 }, (_, i) => `"n${i}": {}`).join(',')}}}`],
    [
      'functions',
      `{"expressions": {"functions": {${Array.from({ length: 20_000 }, (_, i) => `"f${i}": "min"`).join(',')}}}}`,
    ],
    ['no JSON', 'x'.repeat(100_000)],
  ])('with too many %s is told once', (_, text) => {
    expect(messages(text)).toHaveLength(1);
  });

  it('with lists in lists is told of what it is, and of where it is left', () => {
    const found = messages(`{"names": ${'['.repeat(20_000)}${']'.repeat(20_000)}}`);
    expect(found).toEqual([expect.stringMatching(/names\[0\] is a list/), expect.stringMatching(/more than 32 deep/)]);
  });

  it('with words that are also names, or letters of commands, is told at one of the two', () => {
    const text = JSON.stringify({
      keywords: { if: 'when', end: 'when' },
      expressions: { operators: { and: 'tip', or: 'or', less: 'or' } },
      names: { tip: {}, or: {} },
    });
    const found = checkVocabularyFile(text).map(
      ({ span, message }) => `${text.slice(span.start, span.end)} ${message}`,
    );
    expect(found).toHaveLength(4);
    expect(found.join('\n')).toMatch(/"when" keywords\.end is “when”, and so is keywords\.if/);
    expect(found.join('\n')).toMatch(/“tip” is also the operator and/);
    expect(found.join('\n')).toMatch(/“or” is also the operator or/);
    expect(found.join('\n')).toMatch(/expressions\.operators\.less is “or”, and so is expressions\.operators\.or/);
    expect(messages('{"delimiters": [["G", "H"]]}')).toHaveLength(1);
    expect(messages('{"lineStatements": ["M"]}')).toHaveLength(1);
  });
});

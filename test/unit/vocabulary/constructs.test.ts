import Handlebars from 'handlebars';
import { describe, expect, it } from 'vitest';
import { boundsEnv } from '../../../server/src/placeholders/environment.ts';
import { evaluate } from '../../../server/src/placeholders/evaluate.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { FORM } from './support.ts';

// Constructs that a vocabulary file can describe, from the file to what is filled in and what is told of the text.

/** A text read with a vocabulary file of this content. */
function written(vocabulary: object, text: string) {
  const read = readVocabulary(JSON.stringify(vocabulary));
  const names = vocabularyFor(null, read.vocabulary);
  const analysis = analyze(text, 'start', null, names);
  return {
    analysis,
    problems: read.problems.map(({ message }) => message),
    /** Those of how the text is written. */
    findings: analysis.findings.map(({ rule }) => rule).filter((rule) => FORM.has(rule)),
    messages: analysis.findings.map(({ message }) => message),
    filled: (job: object) => {
      const { text: given, problems } = fillIn(analysis, names, job as Record<string, unknown>, false);
      return problems.length > 0 ? problems.map(({ message }) => message) : given;
    },
  };
}

const heat = (lo: number, hi: number) => ({ kind: 'temperature', range: [lo, hi] });

describe('words that mean something in every loop', () => {
  const LANGUAGE = {
    keywords: { each: '#each LIST', if: '#if', unless: '#unless', end: ['/each', '/if', '/unless'] },
    expressions: {
      loops: { item: 'this', indexFrom0: '@index', isFirst: '@first', isLast: '@last' },
      firstIndex: 0,
    },
    rules: { zeroHolds: false, missing: 'nothing' },
    names: { heats: { kind: 'list', range: [1, 4], items: 'temperature', itemRange: [150, 260] } },
  };
  const TEXT = `{{#each heats}}
M104 T{{@index}} S{{this}}{{#if @first}} ; first{{/if}}
{{#unless @last}}
G4 P40
{{/unless}}
{{/each}}
`;

  it.each([[[207]], [[207, 231]], [[207, 231, 188]]])('give what handlebars gives for %j', (heats) => {
    const { filled, problems } = written(LANGUAGE, TEXT);
    expect(problems).toEqual([]);
    expect(filled({ heats })).toBe(Handlebars.compile(TEXT, { noEscape: true })({ heats }));
  });

  it('are names with bounds inside of it, and no names below it', () => {
    expect(written(LANGUAGE, TEXT).findings).not.toContain('unknown-placeholder');
    expect(written(LANGUAGE, '{{#each heats}}\nM104 S{{this - 400}}\n{{/each}}\n').messages.join()).toMatch(/-250/);
    expect(written(LANGUAGE, 'M104 S{{this}}\n').findings).toContain('unknown-placeholder');
  });

  it('stand beside the names that a loop itself gives, and count from 1 where they say so', () => {
    const { filled } = written(
      {
        keywords: { each: 'for ITEM in LIST', end: 'done' },
        expressions: { loops: { indexFrom1: 'turn.number', indexFrom0: 'turn.before' } },
        names: LANGUAGE.names,
      },
      '{{for h in heats}}\nM104 T{{turn.before}} S{{h}} ; {{turn.number}}\n{{done}}\n',
    );
    expect(filled({ heats: [203, 199] })).toBe('M104 T0 S203 ; 1\nM104 T1 S199 ; 2\n');
  });
});

describe('the form of a number behind its tag', () => {
  const LANGUAGE = {
    delimiters: [['%(', ')']],
    expressions: { formatsBehind: ['d', 's', 'f', '.Nf'] },
    names: { tip: heat(150, 260), lift: { kind: 'length', range: [0, 60] }, tag: { kind: 'text' } },
  };

  // As ISO C has it (7.21.6.1): %d cuts the fraction off here, %f gives six digits, %.2f two.
  it.each([
    ['M104 S%(tip)d', { tip: 207.9 }, 'M104 S207'],
    ['G1 Z%(lift)f', { lift: 7.25 }, 'G1 Z7.250000'],
    ['G1 Z%(lift).2f F600', { lift: 7.256 }, 'G1 Z7.26 F600'],
    ['G1 Z%(lift).0f F600', { lift: 7.6 }, 'G1 Z8 F600'],
    ['M117 %(tag)s done', { tag: 'peg' }, 'M117 peg done'],
    ['M117 %(tag) done', { tag: 'peg' }, 'M117 peg done'],
    // No form: what begins like one and goes on as a word.
    ['M117 %(tag)down', { tag: 'peg' }, 'M117 pegdown'],
  ])('%s', (text, job, filled) => {
    const one = written(LANGUAGE, `${text}\n`);
    expect(one.filled(job)).toBe(`${filled}\n`);
    expect(one.findings).not.toContain('bad-number');
    expect(one.findings).not.toContain('unknown-word');
  });

  it('has the bounds of its value', () => {
    const names = { lift: { kind: 'length', range: [-9.26, -9.26] } };
    const { analysis } = written({ ...LANGUAGE, names }, 'G1 Z%(lift).1f F600\n');
    const [value] = [...analysis.expressions.values()].map(
      ({ expr }) => expr && evaluate(expr, boundsEnv(analysis.vocabulary)),
    );
    expect(value).toMatchObject({ type: 'text', any: ['-9.3'] });
  });
});

describe('a remark in brackets in a comment', () => {
  const LANGUAGE = { delimiters: [['[', ']']], names: { tip: heat(150, 260) } };

  it.each([
    ['M104 S[tip] ; [was 205]', 'M104 S208 ; [was 205]'],
    ['M104 S[tip] (a [hot end, old])', 'M104 S208 (a [hot end, old])'],
    ['M104 S[tip] ; now [tip]', 'M104 S208 ; now 208'],
  ])('%s', (text, filled) => {
    const one = written(LANGUAGE, `${text}\n`);
    expect(one.filled({ tip: 208 })).toBe(`${filled}\n`);
    expect(one.findings).toEqual([]);
  });

  it('is a tag in a command, and where more than one sign opens it', () => {
    expect(written(LANGUAGE, 'M104 S[was 205]\n').findings).toContain('bad-expression');
    const braces = { names: { tip: heat(150, 260) } };
    expect(written(braces, 'M104 S{{tip}} ; {{was 205}}\n').findings).toContain('bad-expression');
  });
});

describe('a name that is the first part of built-in ones', () => {
  it.each(['filament', 'bed', 'reach', 'home', 'nozzle', 'tool', 'layer', 'heat', 'part', 'base', 'job', 'speed'])(
    '%s is a name of the file’s own, and what Bookend has under it cannot be written',
    (name) => {
      const file = { names: { [name]: { kind: 'number', range: [1.6, 1.9] } } };
      const { problems, findings, filled, analysis } = written(file, `M117 {{${name}}}\n`);
      expect(problems).toEqual([]);
      expect(findings).toEqual([]);
      expect(filled({ [name]: 1.74 })).toBe('M117 1.74\n');
      const below = [...analysis.vocabulary.names.values()].filter((one) => one.name.startsWith(`${name}.`));
      expect(below.length).toBeGreaterThan(0);
      expect(below.every(({ hidden }) => hidden)).toBe(true);
      const [inner] = below;
      expect(written(file, `M117 {{${inner?.name}}}\n`).findings).toContain('unknown-placeholder');
    },
  );

  it('still clashes where the built-in names may be written too', () => {
    const file = { extends: 'bookend', names: { filament: { kind: 'number' } } };
    expect(written(file, 'G28\n').problems.join()).toMatch(/“filament” shadows names such as “filament\./);
  });
});

describe('what a vocabulary file may say besides', () => {
  it('a closer that repeats the condition', () => {
    const { filled, findings } = written(
      {
        delimiters: [['[', ']']],
        keywords: { if: '?', end: '/CONDITION' },
        names: { warm: { kind: 'flag' }, tip: heat(150, 260) },
      },
      '[?warm]\nM104 S[tip]\n[/warm]\nM109 S[tip]\n',
    );
    expect(findings).toEqual([]);
    expect(filled({ warm: true, tip: 199 })).toBe('M104 S199\nM109 S199\n');
  });

  it('functions that stand for ours beyond numbers', () => {
    const { filled, problems } = written(
      {
        expressions: { functions: { COUNT: 'length', OR_ELSE: 'default', UP: 'upper', DIGITS: 'fixed' } },
        rules: { missing: 'nothing' },
        names: { heats: { kind: 'list', range: [1, 4], items: 'temperature' }, label: { kind: 'text' } },
      },
      'M117 {{COUNT(heats)}} {{OR_ELSE(label, "none")}} {{UP("peg")}} {{DIGITS(1.25, 3)}}\n',
    );
    expect(problems).toEqual([]);
    expect(filled({ heats: [203, 199] })).toBe('M117 2 none PEG 1.250\n');
  });

  it('names that begin with a digit, and what is nearly a number is none', () => {
    const { filled, problems } = written(
      { expressions: {}, names: { '2nd_tip': heat(150, 260) } },
      'M104 S{{2nd_tip - 4}}\n',
    );
    expect(problems).toEqual([]);
    expect(filled({ '2nd_tip': 204 })).toBe('M104 S200\n');
    expect(written({ expressions: {}, names: { '2e5': heat(150, 260) } }, 'G28\n').problems.join()).toMatch(
      /reads as a number/,
    );
  });

  it('lists counted from 1: the element before the first is missing', () => {
    const language = {
      expressions: { firstIndex: 1 },
      rules: { missing: 'stop' },
      names: { heats: { kind: 'list', range: [2, 2], items: 'temperature', itemRange: [150, 260] } },
    };
    expect(written(language, 'M104 S{{heats[2]}}\n').filled({ heats: [203, 199] })).toBe('M104 S199\n');
    expect(written(language, 'M104 S{{heats[0]}}\n').filled({ heats: [203, 199] })).not.toBe('M104 S\n');
  });

  it('a choice as a function with its own sign between the arguments', () => {
    const language = {
      delimiters: [['{=', '}']],
      expressions: { choice: 'IF(CONDITION;YES;NO)', operators: { equal: '=' }, functions: { SMALLER: 'min' } },
      names: { thin: { kind: 'flag' }, tip: heat(150, 260) },
    };
    const { filled, findings } = written(language, 'M109 S{=SMALLER(IF(thin;tip-8;tip);240)}\n');
    expect(findings).toEqual([]);
    expect(filled({ thin: true, tip: 218 })).toBe('M109 S210\n');
    expect(filled({ thin: false, tip: 258 })).toBe('M109 S240\n');
  });
});

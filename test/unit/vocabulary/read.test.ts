import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { visible } from '../../../server/src/placeholders/environment.ts';
import { jobsOver } from '../../../server/src/placeholders/jobs.ts';
import { vocabularySchemaText } from '../../../server/src/service/jsonSchema.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { read, told } from './support.ts';

const file = (name: string): string =>
  readFileSync(new URL(`../../../schemas/${name}`, import.meta.url), 'utf8').replaceAll('\r\n', '\n');
const accepts = new Ajv2020({ strict: false }).compile(JSON.parse(file('placeholders.schema.json')));

const machine = readMachine(
  JSON.stringify({
    name: 'Egret',
    bed: { shape: 'rectangle', left: 0, right: 214, front: 0, back: 203 },
    reach: { shape: 'rectangle', left: -5, right: 221, front: -5, back: 209, bottom: 0, top: 227 },
    heat: { nozzle: { max: 260, minExtrude: 180 }, bed: { max: 100 } },
  }),
).machine;

describe('the schemas', () => {
  it('are what the schema gives (run node scripts/write-schemas.mjs)', () => {
    expect(file('placeholders.schema.json')).toBe(vocabularySchemaText());
  });

  it('are valid JSON Schema 2020-12, and say for every property what it is', () => {
    const schema = JSON.parse(file('placeholders.schema.json'));
    expect(new Ajv2020({ strict: false }).validateSchema(schema)).toBe(true);
    for (const [name, one] of Object.entries<{ description: string }>(schema.properties))
      expect(one.description.length, name).toBeGreaterThan(5);
  });

  it('accept the demo’s vocabulary', () => {
    const text = readFileSync(new URL('../../../demo/otter-146/lathe-song.placeholders.json', import.meta.url), 'utf8');
    // The demo’s comments stand on rows of their own.
    expect(accepts(JSON.parse(text.replace(/^\s*\/\/.*$/gm, '')))).toBe(true);
    expect(readVocabulary(text).problems).toEqual([]);
  });
});

describe('a good file', () => {
  it('gives its facts, whether names are an object or a list', () => {
    const facts = { kind: 'length', range: [0, 'reach.top'], sample: 40 };
    const map = read({ delimiters: [['«', '»']], keywords: { if: 'when', end: 'done' }, names: { high: facts } });
    const list = read({ names: [{ name: 'high', ...facts }] });
    expect([map.problems, list.problems]).toEqual([[], []]);
    expect(map).toMatchObject({
      language: {
        pairs: [{ open: '«', close: '»', holds: 'anything' }],
        statements: [
          { is: 'if', form: 'when' },
          { is: 'end', form: 'done' },
        ],
      },
      extendsBuiltIn: false,
    });
    expect(list.names).toMatchObject([{ name: 'high', kind: 'length', sample: 40, range: { lo: 0 } }]);
    expect(list.language).toBeNull();
  });
});

describe('what is wrong is told at its place, and the rest is used', () => {
  const rows: [string, string, string, RegExp][] = [
    ['empty', '', '', /This vocabulary file is empty/],
    ['no object', '[1]', '[1]', /holds one object/],
    ['names of the wrong type', '{"names": 3}', '3', /names must be an object in \{ \}, or a list/],
    ['facts of the wrong type', '{"names": {"a": 5}}', '5', /must be an object in \{ \}/],
    ['a slip in a property', '{"names": {"a": {"knd": "flag"}}}', '"knd"', /Did you mean “kind”/],
    ['a slip in a root property', '{"delimters": []}', '"delimters"', /Did you mean “delimiters”/],
    ['a slip in a kind', '{"names": {"a": {"kind": "lenght"}}}', '"lenght"', /Did you mean “length”/],
    ['lo > hi', '{"names": {"a": {"range": [5, 2]}}}', '[5, 2]', /begins at 5, above its end at 2/],
    [
      'lo > hi, worked out',
      '{"names": {"a": {"range": ["2 * 3", 2]}}}',
      '["2 * 3", 2]',
      /begins at 6, above its end at 2/,
    ],
    ['one end only', '{"names": {"a": {"range": [5]}}}', '[5]', /two ends/],
    ['an end of the wrong type', '{"names": {"a": {"range": [0, true]}}}', 'true', /a number, or an expression/],
    ['an unknown figure', '{"names": {"a": {"range": [0, "reach.tpo"]}}}', 'reach.tpo', /Did you mean “reach.top”/],
    ['a text as an end', '{"names": {"a": {"range": [0, "\'x\'"]}}}', '"\'x\'"', /gives a text/],
    [
      'a range of a flag',
      '{"names": {"a": {"kind": "flag", "range": [0, 1]}}}',
      '[0, 1]',
      /only for numbers and lists/,
    ],
    [
      'a sample below the range',
      '{"names": {"a": {"range": [5, 9], "sample": 3}}}',
      '3',
      /below its range, which begins at 5/,
    ],
    [
      'a sample above the range',
      '{"names": {"a": {"range": [5, 9], "sample": 30}}}',
      '30',
      /above its range, which ends at 9/,
    ],
    ['a sample of another type', '{"names": {"a": {"kind": "flag", "sample": 1}}}', '1', /true or false/],
    ['a sample that is no choice', '{"names": {"a": {"choices": ["x"], "sample": "y"}}}', '"y"', /one of the choices/],
    ['choices of a number', '{"names": {"a": {"kind": "length", "choices": ["x"]}}}', '["x"]', /only for texts/],
    ['the same name twice, as keys', '{"names": {"a": {}, "a": {}}}', '"a"', /declared twice/],
    ['the same name twice, in a list', '{"names": [{"name": "a"}, {"name": "a"}]}', '"a"', /declared twice/],
    ['a name in a name', '{"names": {"a.b": {}, "a": {}}}', '"a.b"', /shadow each other/],
    ['a name of the machine', '{"names": {"bed.left": {}}}', '"bed.left"', /the machine’s own figure/],
    [
      'a name over the machine’s',
      '{"extends": "bookend", "names": {"reach": {}}}',
      '"reach"',
      /shadows names such as “reach.left”/,
    ],
    ['no name', '{"names": {"a-b": {}}}', '"a-b"', /cannot be used as a name/],
    ['a reserved word', '{"names": {"new": {}}}', '"new"', /cannot be used as a name/],
    [
      'standsFor something unknown',
      '{"names": {"a": {"standsFor": "part.tpo"}}}',
      '"part.tpo"',
      /Did you mean “part.top”/,
    ],
    [
      'standsFor of another kind',
      '{"names": {"a": {"standsFor": "part.top", "kind": "flag"}}}',
      '"flag"',
      /is a length/,
    ],
    [
      'two that stand for one',
      '{"names": {"a": {"standsFor": "part.top"}, "b": {"standsFor": "part.top"}}}',
      '"b"',
      /only one can/,
    ],
    ['an order to nothing', '{"names": {"high": {"atMost": "hihg"}}}', '"high"', /no name that is known here/],
    ['a distance to nothing', '{"names": {"a": {"atLeastBy": 5}}}', '"a"', /no atLeast says from which name/],
    ['an order to itself', '{"names": {"a": {"atMost": "a"}}}', '"a"', /the name itself/],
    ['an order between texts', '{"names": {"a": {"atMost": "b"}, "b": {"kind": "text"}}}', '"a"', /only numbers/],
    [
      'a circle',
      '{"names": {"a": {"atMost": "b"}, "b": {"atMost": "c"}, "c": {"atMost": "a"}}}',
      '"c"',
      /go round in a circle/,
    ],
    [
      'a circle by both orders',
      '{"names": {"a": {"atMost": "b"}, "b": {"atMost": "a"}}}',
      '"b"',
      /go round in a circle/,
    ],
    [
      'one that opens and closes',
      '{"delimiters": [["<", ">"], [">", "<"]]}',
      '[">", "<"]',
      /opens one pair and closes another/,
    ],
    ['the same twice', '{"delimiters": [["{", "}"], ["{", "]"]]}', '["{", "]"]', /opens two pairs/],
    ['a semicolon', '{"delimiters": [[";", ";"]]}', '[";", ";"]', /begins a comment/],
    ['a parenthesis', '{"delimiters": [["(", ")"]]}', '["(", ")"]', /comment in parentheses/],
    ['a letter', '{"delimiters": [["X", "]"]]}', '["X", "]"]', /stands in commands and numbers/],
    ['a closing letter', '{"delimiters": [["[", "e"]]}', '["[", "e"]', /stands in names and numbers/],
    ['a blank', '{"delimiters": [["< ", ">"]]}', '["< ", ">"]', /contains a space/],
    ['an empty one', '{"delimiters": [["", ">"]]}', '""', /is empty/],
    ['one alone', '{"delimiters": [["<"]]}', '["<"]', /must have at least 2/],
    ['percent', '{"delimiters": [["%", "%"]]}', '["%", "%"]', /also stands alone on the first and last line/],
    ['an operator', '{"delimiters": [["<", ">"]]}', '["<", ">"]', /also an operator/],
    [
      'two keywords alike',
      '{"keywords": {"if": "when", "else": "when", "end": "x"}}',
      '"when"',
      /cannot be told apart/,
    ],
    [
      'a keyword that is a name',
      '{"keywords": {"if": "when", "end": "a"}, "names": {"a": {}}}',
      '"a"',
      /also a name of this file/,
    ],
    ['a keyword with delimiters', '{"keywords": {"if": "{{when", "end": "x"}}', '"{{when"', /contains the delimiter/],
    ['no end', '{"keywords": {"if": "when"}}', '{"if": "when"}', /has “if” and no “end”/],
    ['another extends', '{"extends": "bokend"}', '"bokend"', /must be "bookend"|bookend/],
  ];
  it.each(rows)('%s', (_, text, marked, message) => {
    const all = told(text);
    expect(all.map(([, m]) => m).join('\n')).toMatch(message);
    const [at] = all.find(([, m]) => message.test(m)) ?? [];
    expect(at).toBe(marked);
    expect(all.length).toBeLessThan(3);
  });

  it('keeps the other facts of a name', () => {
    const { names, problems } = read({
      names: { a: { kind: 'length', range: [5, 2], meaning: 'Some length.' }, b: {} },
    });
    expect(problems).toHaveLength(1);
    expect(names).toMatchObject([{ name: 'a', kind: 'length', range: null, meaning: 'Some length.' }, { name: 'b' }]);
  });

  it('a list may have names below it', () => {
    expect(read({ names: { jars: { kind: 'list' }, 'jars.size': {} } }).problems).toEqual([]);
  });
});

describe('huge files', () => {
  it('are read up to a limit, which is told', () => {
    const names = Object.fromEntries(Array.from({ length: 2500 }, (_, i) => [`n${i}`, { atMost: `n${i + 1}` }]));
    const { names: kept, problems } = read({ names });
    expect(kept).toHaveLength(2000);
    expect(problems[0]?.message).toMatch(/no name that is known here|2500 entries; 2000 are read/);
    expect(problems.some(({ message }) => /2500 entries; 2000 are read/.test(message))).toBe(true);
    const pairs = Array.from({ length: 50 }, (_, i) => [`<${'['.repeat(i)}`, '>']);
    expect(read({ delimiters: pairs }).problems.length).toBeGreaterThan(0);
    expect(told(`{"name": "${'x'.repeat(10_000_001)}"}`)[0]?.[1]).toMatch(/vocabulary files are read up to/);
    const deep = told('['.repeat(100_000)).map(([, message]) => message);
    expect(deep.join('\n')).toMatch(/more than 32 deep in one another from here on; a vocabulary file/);
  });

  it('2000 orders in a row are no circle, and one more back is', () => {
    const names = Object.fromEntries(
      Array.from({ length: 2000 }, (_, i) => [`n${i}`, { kind: 'length', atMost: `n${(i + 1) % 2000}` }]),
    );
    expect(read({ names }).problems.map(({ message }) => /circle/.test(message))).toEqual([true]);
  });
});

describe('on a machine', () => {
  it('ranges are worked out from its figures', () => {
    const { names } = vocabularyFor(
      machine,
      read({
        names: {
          a: { range: ['bed.right / 2', 'reach.top - 10'] },
          b: { range: [0, 'heat.chamber.max'] },
          c: { range: ['tools', 'heat.nozzle.max'] },
        },
      }),
    );
    expect(names.get('a')).toMatchObject({ range: { lo: 107, hi: 217 }, sample: 162 });
    expect(names.get('b')?.range).toEqual({ lo: 0, hi: 0 });
    expect(names.get('c')?.range).toEqual({ lo: 1, hi: 260 });
  });

  it('without one, ends that need it are open', () => {
    const { names } = vocabularyFor(null, read({ names: { a: { range: [5, 'reach.top'] } } }));
    expect(names.get('a')).toMatchObject({ range: { lo: 5, hi: Number.POSITIVE_INFINITY }, sample: 5 });
  });

  it('a range that is upside down on this machine is not known', () => {
    const { names } = vocabularyFor(machine, read({ names: { a: { range: [300, 'reach.top'] } } }));
    expect(names.get('a')?.range).toBeNull();
  });

  it('only the file’s names and the machine’s own can be written, or the built-in ones too', () => {
    const own = visible(vocabularyFor(machine, read({ names: { a: {} } }))).map(({ name }) => name);
    expect(own).toContain('a');
    expect(own).toContain('reach.top');
    expect(own).not.toContain('part.top');
    const both = visible(vocabularyFor(machine, read({ extends: 'bookend', names: { a: {} } }))).map(
      ({ name }) => name,
    );
    expect(both).toContain('part.top');
  });

  it('a name that stands for a built-in one takes its range and its place', () => {
    const vocabulary = vocabularyFor(
      machine,
      read({ names: { high: { standsFor: 'part.top' }, west: { standsFor: 'part.left' } } }),
    );
    expect(vocabulary.names.get('high')).toMatchObject({ kind: 'length', range: { hi: 227 }, unit: 'mm' });
    expect(vocabulary.names.has('part.top')).toBe(false);
    expect(vocabulary.standIns?.get('part.top')).toBe('high');
    expect(vocabulary.names.get('part.right')).toMatchObject({ atLeast: 'west', hidden: true });
  });

  it('an order holds by the stated distance, else by that of the built-in name', () => {
    const names = {
      high: { standsFor: 'part.top' },
      up: { range: [6, 400], atLeast: 'high', atLeastBy: 7 },
      low: { range: [0, 900], atMost: 'reach.top', atMostBy: 4 },
      right: { standsFor: 'part.right' },
    } as const;
    const vocabulary = vocabularyFor(machine, read({ names }));
    expect(vocabulary.names.get('up')).toMatchObject({ atLeast: 'high', atLeastBy: 7 });
    expect(vocabulary.names.get('low')?.range).toEqual({ lo: 0, hi: 227 - 4 });
    expect(vocabulary.names.get('right')).toMatchObject({ atLeast: 'part.left', atLeastBy: 3 });
    for (const job of jobsOver(vocabulary, ['high', 'up']))
      expect((job.get('up') as number) - (job.get('high') as number)).toBeGreaterThanOrEqual(7);
  });

  it('an order towards a figure of the machine is a limit', () => {
    const { names } = vocabularyFor(
      machine,
      read({ names: { a: { range: [0, 900], sample: 500, atMost: 'reach.top' } } }),
    );
    expect(names.get('a')).toMatchObject({ range: { lo: 0, hi: 227 }, sample: 227 });
    expect(names.get('a')?.atMost).toBeUndefined();
  });
});

describe('any text and any JSON', () => {
  const key = fc.constantFrom(
    'names',
    'delimiters',
    'keywords',
    'extends',
    'name',
    'a',
    'a.b',
    'kind',
    'range',
    'sample',
    'choices',
    'atMost',
    'standsFor',
    'if',
    'end',
    '__proto__',
    'constructor',
  );
  const { value } = fc.letrec((tie) => ({
    value: fc.oneof(
      { maxDepth: 5 },
      fc.constantFrom<unknown>(null, true, 0, -1, 1.5, 1e308, '', 'a', 'length', 'reach.top', '{{', ';', 'part.top'),
      fc.array(tie('value'), { maxLength: 4 }),
      fc.dictionary(key, tie('value'), { maxKeys: 6 }),
    ),
  }));

  it('gives a vocabulary or none, and findings inside the text', () => {
    const holds = (text: string): void => {
      const { vocabulary, problems } = readVocabulary(text);
      for (const { span, message } of problems) {
        expect(span.start).toBeGreaterThanOrEqual(0);
        expect(span.end).toBeLessThanOrEqual(Math.max(text.length, 1));
        expect(message).toMatch(/\.$/);
      }
      if (vocabulary)
        for (const on of [null, machine])
          for (const { range } of vocabularyFor(on, vocabulary).names.values())
            if (range) expect(range.lo).toBeLessThanOrEqual(range.hi);
    };
    fc.assert(
      fc.property(value, (v) => holds(JSON.stringify(v))),
      { seed: 3, numRuns: 600 },
    );
    fc.assert(
      fc.property(fc.dictionary(key, value), (v) => holds(JSON.stringify({ ...v, names: v }))),
      { seed: 4, numRuns: 600 },
    );
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 100 }), holds), { seed: 5, numRuns: 500 });
  });

  it('what the schema rejects, the reader reports', () => {
    let rejected = 0;
    fc.assert(
      fc.property(fc.dictionary(key, value, { maxKeys: 3 }), (v) => {
        if (accepts(v)) return;
        rejected++;
        expect(readVocabulary(JSON.stringify(v)).problems.length, JSON.stringify(v)).toBeGreaterThan(0);
      }),
      { seed: 6, numRuns: 600 },
    );
    expect(rejected).toBeGreaterThan(150);
  });
});

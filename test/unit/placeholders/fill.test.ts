import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fill, sourceOf } from '../../../server/src/placeholders/fill.ts';

// Filling in, case by case: our own set, always run. The rules are those of the Mustache specification 1.4
// (test/reference/mustache.test.ts runs its own data); expressions are ours.

const JOB = {
  heat: { nozzle: { first: 215, later: 210 }, bed: { first: 60 } },
  'part.left': 12.5,
  'part.top': 1e-7,
  far: 1e21,
  filament: { kind: 'PLA' },
  hot: true,
  cold: false,
  zero: 0,
  blank: '',
  nothing: null,
  tools: [
    { number: 0, temperature: { first: 215 } },
    { number: 1, 'temperature.first': 230 },
  ],
  none: [],
  plain: ['a', 2, true],
};

const filled = (text: string, values: unknown = JOB): string => {
  const result = fill(text, values);
  expect(result.problems).toEqual([]);
  return result.text;
};
const told = (text: string, values: unknown = JOB) =>
  fill(text, values).problems.map(({ kind, span, name }) => [kind, text.slice(span.start, span.end), name]);

describe('values', () => {
  it.each([
    ['a name', 'M109 S{{ heat.nozzle.first }}', 'M109 S215'],
    ['a dotted key', 'G1 X{{part.left}}', 'G1 X12.5'],
    ['a small number, without exponent', 'G1 Z{{part.top}}', 'G1 Z0.0000001'],
    ['a large number, without exponent', 'G1 Z{{far}}', 'G1 Z1000000000000000000000'],
    ['an expression', 'G1 X{{ max(part.left - 5, 0) + 1 }}', 'G1 X8.5'],
    ['a choice', 'M104 S{{ hot ? heat.nozzle.first : 0 }}', 'M104 S215'],
    ['a text, not HTML-escaped', 'M117 {{ filament.kind + " <&>" }}', 'M117 PLA <&>'],
    ['a flag', '{{hot}} {{ !hot }}', 'true false'],
    ['an empty text', '[{{blank}}]', '[]'],
    ['three braces and the mark &', '{{{heat.bed.first}}}{{&heat.bed.first}}', '6060'],
    ['what is filled in is not filled in again', '{{a}}', '{{b}}'],
  ])('%s', (_, text, wanted) => expect(filled(text, { ...JOB, a: '{{b}}' })).toBe(wanted));

  it('only the branch that counts is looked at', () =>
    expect(filled('{{ hot ? 1 : missing }}{{ cold && gone }}')).toBe('1false'));
});

describe('sections', () => {
  it.each([
    ['a flag', '{{#hot}}yes{{/hot}}{{#cold}}no{{/cold}}{{^cold}}not{{/}}', 'yesnot'],
    ['0, an empty text and an empty list count as false', '{{#zero}}a{{/}}{{#blank}}b{{/}}{{#none}}c{{/}}', ''],
    ['an expression', '{{# heat.bed.first > 50 }}warm{{/}}{{^ heat.bed.first > 50 }}cool{{/}}', 'warm'],
    ['an expression repeated in the closing tag', '{{# part.left < 20 }}near{{/ part.left  < 20 }}', 'near'],
    [
      'a list with names of its own',
      '{{#tools}}T{{number}} S{{temperature.first}} B{{heat.bed.first}};{{/tools}}',
      'T0 S215 B60;T1 S230 B60;',
    ],
    ['a list of plain values', '{{#plain}}({{.}}){{/plain}}', '(a)(2)(true)'],
    ['a list chosen by an expression', '{{# cold ? none : plain }}{{.}}{{/}}', 'a2true'],
    ['lists inside lists', '{{#tools}}{{#tools}}{{number}}{{/}}-{{/}}', '01-01-'],
    ['a group of names', '{{#heat}}{{nozzle.first}}{{/heat}}', '215'],
    ['a lone value', '{{#heat.bed.first}}M140 S{{.}}{{/}}', 'M140 S60'],
    ['expressions over an element', '{{#tools}}{{ number + 1 }}{{# number > 0 }}!{{/}}{{/tools}}', '12!'],
  ])('%s', (_, text, wanted) => expect(filled(text)).toBe(wanted));
});

describe('rows', () => {
  it.each([
    ['a row of its own goes whole', 'a\n  {{#hot}}  \nb\n\t{{/hot}}\nc\n', 'a\nb\nc\n'],
    ['ends of rows are kept: CRLF', 'a\r\n{{#hot}}\r\nb\r\n{{/hot}}\r\nc', 'a\r\nb\r\nc'],
    ['ends of rows are kept: lone CR', 'a\r{{#hot}}\rb\r{{/hot}}\rc', 'a\rb\rc'],
    ['a list of rows', '{{#tools}}\nT{{number}}\n{{/tools}}\nend', 'T0\nT1\nend'],
    ['a comment over rows', 'a\n{{! one\n two }}\nb', 'a\nb'],
    ['at the end of the text', 'a\n  {{! end }}', 'a\n'],
    ['a value alone on its row stays', '  {{heat.bed.first}}\n', '  60\n'],
    [
      'other delimiters',
      '{{=<% %>=}}\nS<% heat.bed.first %> {{ x }}\n<%={{ }}=%>\nS{{heat.bed.first}}',
      'S60 {{ x }}\nS60',
    ],
    ['delimiters set to those in force', '{{={{ }}=}}S{{heat.bed.first}}', 'S60'],
    ['two tags on a row: neither stands alone', '{{#hot}}{{/hot}}\n', '\n'],
  ])('%s', (_, text, wanted) => expect(filled(text)).toBe(wanted));
});

describe('what cannot be filled in is told, with its place', () => {
  it.each([
    ['a missing name', 'S{{ heat.nozle.first }}', [['missing', 'heat.nozle.first', 'heat.nozle.first']]],
    ['null is no value', '{{nothing}}', [['missing', 'nothing', 'nothing']]],
    [
      'each missing name in an expression',
      '{{ a + b }}',
      [
        ['missing', 'a', 'a'],
        ['missing', 'b', 'b'],
      ],
    ],
    ['a missing condition', '{{#gone}}a{{/gone}}', [['missing', 'gone', 'gone']]],
    ['a place in a list once', '{{#tools}}{{gone}}{{/tools}}', [['missing', 'gone', 'gone']]],
    [
      'the rest of a dotted name is looked for in there only',
      '{{#heat}}{{nozzle.late}}{{/heat}}',
      [['missing', 'nozzle.late', 'nozzle.late']],
    ],
    ['division by zero', '{{ 1 / zero }}', [['value', '1 / zero', undefined]]],
    ['a text reckoned with', '{{ filament.kind * 2 }}', [['value', 'filament.kind * 2', undefined]]],
    ['a list', '{{ tools }}', [['value', 'tools', undefined]]],
    ['a group of names', '{{ heat.nozzle }}', [['value', 'heat.nozzle', undefined]]],
    ['no expression', '{{ heat bed }}', [['tag', 'bed', undefined]]],
    ['a partial', '{{> other }}', [['tag', '{{> other }}', undefined]]],
    ['an unclosed tag', 'S{{ heat.bed.first', [['tag', '{{ heat.bed.first', undefined]]],
    ['an unclosed section', '{{#hot}}a', [['tag', '{{#hot}}', undefined]]],
    ['a stray closing tag', 'a{{/hot}}', [['tag', '{{/hot}}', undefined]]],
    [
      'names of every object',
      '{{ constructor }}{{ a.toString }}',
      [
        ['missing', 'constructor', 'constructor'],
        ['missing', 'a.toString', 'a.toString'],
      ],
    ],
  ])('%s', (_, text, wanted) => expect(told(text)).toEqual(wanted));

  it('and the text around it comes out all the same', () =>
    expect(fill('G28\nM109 S{{ gone }} ; warm\n', JOB).text).toBe('G28\nM109 S ; warm\n'));

  it('by the letter of the specification nothing is missing, and a dotted key is no name', () => {
    expect(fill('[{{ gone }}{{ part.left }}]', JOB, { pure: true })).toMatchObject({ text: '[]', problems: [] });
  });
});

describe('where the filled text comes from', () => {
  const text = 'G28\n{{#tools}}\nT{{ number }} S1\n{{/tools}}\nM84\n';
  it('copied text character by character, a value from its tag, each turn of a list from the same rows', () => {
    const result = fill(text, JOB);
    expect(result.text).toBe('G28\nT0 S1\nT1 S1\nM84\n');
    const from = (piece: string, last = false) => {
      const at = last ? result.text.lastIndexOf(piece) : result.text.indexOf(piece);
      return text.slice(sourceOf(result.map, at)).slice(0, 5);
    };
    expect(from('28')).toBe('28\n{{');
    expect(from('0 S1')).toBe('{{ nu');
    expect(from('1 S1')).toBe('{{ nu');
    expect(from('S1')).toBe('S1\n{{');
    expect(from('S1', true)).toBe('S1\n{{');
    expect(from('M84')).toBe('M84\n');
  });

  it('for any text, the pieces cover the filled text and copied ones are what they say', () => {
    const piece = fc.constantFrom(
      'G1 X',
      '{{',
      '}}',
      'hot',
      '#tools',
      '/',
      '^',
      '!',
      '\n',
      '\r\n',
      ' ',
      '=',
      '<% %>',
      '.',
      'number',
      '&',
      '{',
      '>',
      '{{#tools}}',
      '{{/}}',
      '{{number}}',
      '{{#hot}}',
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 60 }), (pieces) => {
        const source = pieces.join('');
        const { text, map } = fill(source, JOB);
        let at = 0;
        for (const { start, end, source: from, copied } of map) {
          expect(start).toBe(at);
          at = end;
          if (copied) expect(text.slice(start, end)).toBe(source.slice(from.start, from.end));
        }
        expect(at).toBe(text.length);
      }),
      { seed: 3, numRuns: 2000 },
    );
  });
});

describe('bad input', () => {
  it.each([
    ['{{#hot}}', '{{/hot}}'],
    ['{{#tools.length}}', '{{/tools.length}}'],
    ['{{^cold}}\n', '\n{{/}}\n'],
    ['{{# ', ''],
    ['{{#hot}}', ''],
    ['', '{{/hot}}'],
  ])('10,000 deep: %j and %j', (open, close) => {
    const deep = (n: number) => fill(`${open.repeat(n)}x${close.repeat(n)}`, JOB);
    expect(deep(10_000).text.length).toBeLessThan(2_000_000);
  });

  it('an expression 10,000 deep is told, whatever it is made of', () => {
    for (const [open, close] of [
      ['(', ')'],
      ['!', ''],
      ['-', ' '],
      ['a ? ', ': 1'],
      ['min(', ')'],
      ['[', ']'],
      ['a.', ''],
    ] as const) {
      const result = fill(`{{ ${open.repeat(10_000)}heat.bed.first${close.repeat(10_000)} }}`, JOB);
      expect(result.problems.length, open).toBeGreaterThan(0);
    }
  });

  it('values nested 10,000 deep', () => {
    const deep = JSON.parse(`${'{"a":'.repeat(10_000)}1${'}'.repeat(10_000)}`);
    expect(fill(`{{ ${Array(900).fill('a').join('.')} }}`, deep).problems[0]?.kind).toBe('value');
    expect(filled(`${'{{#a}}'.repeat(9_999)}{{a}}`.concat('{{/a}}'.repeat(9_999)), deep)).toBe('1');
  });

  it('lists inside lists end, and that is told', () => {
    const list = Array.from({ length: 200 }, () => 1);
    const result = fill(`${'{{#a}}'.repeat(12)}xxxxxxxx${'{{/a}}'.repeat(12)}`, { a: list });
    expect(result.problems.map(({ kind }) => kind)).toEqual(['long']);
    expect(fill(`${'{{#a}}'.repeat(12)}${'{{/a}}'.repeat(12)}`, { a: list }).problems[0]?.kind).toBe('long');
  });

  it('any text and any values at all', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), fc.jsonValue(), (text, values) => {
        fill(text, values);
        fill(`{{#.}}${text}{{/}}{{a.b}}`, values);
        fill(text, values, { pure: true });
      }),
      { seed: 1, numRuns: 2000 },
    );
  });
});

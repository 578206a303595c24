import ejs from 'ejs';
import Handlebars from 'handlebars';
import { Liquid } from 'liquidjs';
import Mustache from 'mustache';
import nunjucks from 'nunjucks';
import { describe, expect, it } from 'vitest';
import { fill } from '../../../../server/src/placeholders/fill.ts';
import type { Grammar } from '../../../../server/src/placeholders/grammar.ts';
import { languageOf } from '../../../../server/src/placeholders/language.ts';
import { readExpressions } from '../../../../server/src/placeholders/tags.ts';
import { asLiquid, asNunjucks, treeOf } from './build.ts';
import { EJS, HANDLEBARS, LIQUID, NUNJUCKS } from './grammars.ts';

// Each text is rendered by the general template language itself (nunjucks, liquidjs, ejs, handlebars, mustache) and
// filled in here by a `Grammar` that describes it; both must be the same, character by character.

const JOB = {
  ...{ n: 3, m: -7, zero: 0, x: 184.5, half: 0.125, t: 'PLA', e: '', f: true, no: false, tall: 12.5 },
  ...{ l: [4, 5, 6], none_yet: [], bed: { first: 60, later: 55 }, tips: [{ size: 0.4 }, { size: 0.6 }] },
};
const NAMES = [
  'n',
  'm',
  'zero',
  'x',
  'half',
  't',
  'e',
  'f',
  'no',
  'tall',
  'l',
  'none_yet',
  'bed.first',
  'bed.later',
  'tips',
];

function filled(source: string, grammar: Grammar): string {
  const language = languageOf(grammar, NAMES);
  const { text, problems } = fill(source, JOB, { language });
  expect(
    problems.filter(({ kind }) => kind !== 'missing'),
    source,
  ).toEqual([]);
  return text;
}

const plain = new nunjucks.Environment(null, { autoescape: false });
const liquid = new Liquid();

describe('nunjucks 3', () => {
  it.each([
    ...['n + 1', 'n * 2 - m', '7 / 2', 'm % 3', 'm // 2', '7 // 2', '-2 ** 2', '2 ** 3 ** 2', 'n ** 2', '(n + 1) * 2'],
    ...['x | round', 'half | round(2)', 'x | round | abs', '-n | abs', 'n + m | abs', '0.1 + 0.2', '3.0', '6 / 2'],
    ...['"a" ~ n', 't ~ "-" ~ x', '"5" + 1', 't == "PLA"', 'not n == 3', 'not zero', 'n > 2 and m < 0'],
    ...['n if f else m', 'n if no', 'n if no else m', 'n > m if f else t', '1 if none_yet else 2', '1 if e else 2'],
    ...['zero or n', 'n and t', 'n or zero and m', 'no or zero and m', 'e or "x"', 'f', 'no', 'l', 'l[1]', 'l[n - 1]'],
    ...[
      'bed.first',
      'bed["first"]',
      'tips[1].size',
      'missing',
      'missing | default(4)',
      'zero | default(4)',
      'e | default("d", true)',
    ],
    ...[
      'zero | default(4, true)',
      'l | length',
      't | length',
      'l | first',
      'l | last',
      'l | join("-")',
      't | lower',
      't | upper | lower',
    ],
    ...["'single'", '"q\\"x"', 'none', 'true', 'n if t == "PLA" else m'],
  ])('{{ %s }}', (source) => {
    const text = `M117 {{ ${source} }} end`;
    expect(filled(text, NUNJUCKS)).toBe(plain.renderString(text, JOB));
  });

  it.each([
    'A{% if n > 2 and f %}1{% elif m %}2{% else %}3{% end %}B',
    'A{% if zero %}1{% elif none_yet %}2{% elif e %}3{% else %}4{% end %}B',
    'S{% if n in l %}{{ n }},{% end %}E',
    '{% if i in none_yet %}{{ i }}{% else %}empty{% end %}',
    '{% if missing %}1{% else %}2{% end %}{% if not missing %}3{% end %}',
    'S{% if tip in tips %}{% if tip.size > 0.5 %}{{ tip.size }};{% end %}{% end %}E',
    '{% set lift = tall + 5 %}G1 Z{{ lift }}{% set lift = lift * 2 %} Z{{ lift }}',
    '{% set a = 1 %}{% if f %}{% set a = 2 %}{% end %}{{ a }}{% if no %}{% set a = 3 %}{% end %}{{ a }}',
    '{% set k = 0 %}{% if i in l %}{% set k = k + i %}{{ k }} {% end %}',
    '{% if a in l %}{% if b in l %}{{ a * b }} {% end %}{% end %}',
  ])('%s', (source) => {
    const { tree, language } = treeOf(source, NUNJUCKS, NAMES);
    const { text, problems } = fill(tree, JOB, { expressions: readExpressions(tree, language), language });
    expect(problems).toEqual([]);
    expect(text).toBe(plain.renderString(asNunjucks(source), JOB));
  });
});

describe('liquidjs', () => {
  it.each([
    '{% choose t %}{% is "PET" %}1{% is "ABS", "PLA" %}2{% else %}3{% end %}',
    '{% choose n %}{% is 4 %}1{% is 5 %}2{% else %}3{% end %}',
    '{% unless f %}1{% else %}2{% end %}{% unless no %}3{% end %}',
  ])('%s', (source) => {
    const { tree, language } = treeOf(source, LIQUID, NAMES);
    const { text, problems } = fill(tree, JOB, { expressions: readExpressions(tree, language), language });
    expect(problems).toEqual([]);
    expect(text).toBe(liquid.parseAndRenderSync(asLiquid(source), JOB));
  });

  it.each([
    ...['n', 'x | round', 'm | abs', 'half | round: 2', 't | downcase', 'l', 'l[1]', 'l | first', 'l | join: "-"'],
    ...[
      'missing',
      'missing | default: 4',
      'zero | default: 4',
      'e | default: 4',
      'no | default: 4',
      'l | size',
      'bed.first',
    ],
    ...['bed["first"]', 'f', '"a"', 'x | floor', 'x | ceil', 't | upcase | downcase', 'none_yet | default: "d"'],
  ])('{{ %s }}', (source) => {
    const text = `M117 {{ ${source} }} end`;
    expect(filled(text, LIQUID)).toBe(liquid.parseAndRenderSync(text, JOB));
  });

  it.each([
    'zero',
    'e',
    'none_yet',
    'no',
    'missing',
    'f or no and no',
    'no and no or f',
    'n > 2',
    't == "PLA"',
    'n == 3 and m > 0',
  ])('{%% if %s %%}', (condition) => {
    const source = `A{% if ${condition} %}1{% else %}2{% end %}B`;
    const { tree, language } = treeOf(source, LIQUID, NAMES);
    const { text } = fill(tree, JOB, { expressions: readExpressions(tree, language), language });
    expect(text).toBe(liquid.parseAndRenderSync(source.replace('{% end %}', '{% endif %}'), JOB));
  });
});

describe('ejs', () => {
  it.each([
    ...[
      'n + 1',
      '7 / 2',
      'm % 3',
      '2 ** 3 ** 2',
      '-(2 ** 2)',
      'x.toFixed(0)',
      'half.toFixed(2)',
      'tall.toFixed(2)',
      'm.toFixed(1)',
    ],
    ...[
      'Math.max(n, m, 4)',
      'Math.round(x)',
      'Math.trunc(m / 2)',
      'Math.min(n, bed.first) + 1',
      'n > 2 && f ? t : m',
      'zero ?? 5',
    ],
    ...[
      'zero || 5',
      'e || t',
      '"a" + n',
      'l',
      'l[1]',
      'l[n - 1]',
      'tips[1].size',
      'bed["first"]',
      'l.join("/")',
      't.toLowerCase()',
    ],
    ...[
      'n === 3',
      'n !== 3',
      '!zero',
      'f',
      'none_yet ? 1 : 2',
      '(n + 1).toFixed(1)',
      '1e3',
      'n > 2 ? m < 0 ? "a" : "b" : "c"',
    ],
  ])('{{ %s }}', (source) => {
    expect(filled(`M117 {{ ${source} }} end`, EJS)).toBe(ejs.render(`M117 <%- ${source} %> end`, JOB));
  });
});

describe('handlebars', () => {
  const own = Handlebars.create();
  own.registerHelper({
    add: (a: number, b: number) => a + b,
    mul: (a: number, b: number) => a * b,
    gt: (a: number, b: number) => a > b,
    lt: (a: number, b: number) => a < b,
    eq: (a: unknown, b: unknown) => a === b,
    and: (a: unknown, b: unknown) => a && b,
    or: (a: unknown, b: unknown) => a || b,
    least: (...all: unknown[]) => Math.min(...(all.slice(0, -1) as number[])),
    most: (...all: unknown[]) => Math.max(...(all.slice(0, -1) as number[])),
    rounded: (a: number) => Math.round(a),
    digits: (a: number, n: number) => a.toFixed(n),
  });
  it.each([
    ...['n', 'bed.first', 'add n 1', 'mul (add n 1) 2', 'gt n 2', 'and (gt n 2) (lt m 0)', 'or zero t', 'eq t "PLA"'],
    ...['least n m 4', 'most n (add m 20)', 'rounded x', 'digits tall 2', 'add n -2', 'eq (add n 1) 4', 'f', 'l'],
  ])('{{ %s }}', (source) => {
    const text = `M117 {{${source}}} end`;
    expect(filled(text, HANDLEBARS)).toBe(own.compile(text, { noEscape: true })(JOB));
  });
});

describe('mustache', () => {
  it.each([
    '{{n}}',
    '{{bed.first}}',
    '{{#f}}yes{{/f}}{{^f}}no{{/f}}',
    '{{#l}}{{.}},{{/l}}',
    '{{#tips}}{{size}} {{/tips}}',
    '{{#none_yet}}x{{/none_yet}}{{^none_yet}}y{{/none_yet}}',
    '{{#zero}}x{{/zero}}',
  ])('%s: our own language is its superset', (source) =>
    expect(fill(source, JOB).text).toBe(Mustache.render(source, JOB)),
  );
});

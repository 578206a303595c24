import { spawnSync } from 'node:child_process';
import ejs from 'ejs';
import Handlebars from 'handlebars';
import { Liquid } from 'liquidjs';
import Mustache from 'mustache';
import nunjucks from 'nunjucks';
import { describe, expect, it } from 'vitest';
import { confirmed, ECMA, used } from './support.ts';

// Sequences in the languages of general template libraries: drafted from the text alone, questions answered as each
// library has it, and filled in; the library renders the same text with the same job. Empty lines do not count: a line
// with nothing but a steering tag is left out by some libraries and stays empty in others, and G-code has no use for it.

const rows = (text: string): string[] => text.split('\n').filter((row) => row.trim() !== '');

function draftedAs(text: string, job: object, facts: Readonly<Record<string, unknown>>): string[] {
  // A job is told about names that nobody reads.
  const own = Object.fromEntries(Object.entries(job).filter(([name]) => new RegExp(`\\b${name}\\b`).test(text)));
  const { form, problems, text: filled } = used(confirmed([text], facts), text, own);
  expect({ form, problems }).toEqual({ form: [], problems: [] });
  return rows(filled);
}

const JOB = { slab: 57, quill: 214, brisk: true, plain: false, nook: 31.25, lifts: [0.3, 12.5], who: 'Wren', turns: 3 };

const START = (lines: readonly string[]): string => ['G28', ...lines, 'G92 E0', ''].join('\n');

describe('mustache 4', () => {
  it.each([
    [START(['M140 S{{slab}}', 'M109 S{{quill}}', 'M117 for {{who}}', 'G1 X{{nook}} F3000'])],
    [START(['M140 S{{slab}}', '{{#brisk}}', 'M190 S{{slab}}', '{{/brisk}}', '{{^brisk}}', 'G4 S5', '{{/brisk}}'])],
    [START(['{{! heats; then homes }}', 'M140 S{{slab}}', 'M104 S{{quill}}', '; {{who}}'])],
    [START(['M140 S{{ slab }}', '{{#lifts}}', 'G1 Z{{.}} F600', '{{/lifts}}'])],
  ])('%s', (text) => {
    expect(draftedAs(text, JOB, ECMA)).toEqual(rows(Mustache.render(text, JOB)));
  });
});

describe('nunjucks 3', () => {
  const plain = new nunjucks.Environment(null, { autoescape: false });
  it.each([
    [
      START([
        'M140 S{{ slab }}',
        '{% if slab > 50 and brisk %}',
        'M190 S{{ slab }}',
        '{% elif plain %}',
        'G4 S1',
        '{% else %}',
        'G4 S2',
        '{% endif %}',
      ]),
    ],
    [START(['{% set lift = nook + 4 %}', 'M104 S{{ quill - 30 }}', 'G1 Z{{ lift }} F600', 'M109 S{{ quill }}'])],
    [
      START([
        'M140 S{{ slab | round }}',
        'M104 S{{ quill if brisk else quill - 10 }}',
        '; {{ who }} {{ "x" ~ turns }}',
      ]),
    ],
    [START(['M140 S{{ slab }}', '{% for z in lifts %}', 'G1 Z{{ z }} F600', '{% endfor %}'])],
    [
      START([
        '{# nothing here; {{ old }} #}',
        'M140 S{{ slab }}',
        '{% if not plain %}',
        'M104 S{{ quill }}',
        '{% endif %}',
      ]),
    ],
    [START(['M140 S{{ slab }}', 'M104 S{{ quill | default(190) }}', '; {{ who | upper }} {{ lifts | length }}'])],
    [START(['M140 S{{ slab }}', '{% for z in lifts %}', 'G1 Z{{ z }} F{{ loop.index * 100 }}', '{% endfor %}'])],
    [START(['M140 S{{ slab }}', 'G1 Z{{ lifts[0] }} F600', 'G1 X{{ nook / 2 }} F3000'])],
  ])('%s', (text) => {
    const facts = { ...ECMA, notIsLast: true };
    expect(draftedAs(text, JOB, facts)).toEqual(rows(plain.renderString(text, JOB)));
  });
});

describe('liquidjs', () => {
  const liquid = new Liquid();
  const facts = { ...ECMA, zeroHolds: true, emptyTextHolds: true, andOr: 'right to left' };
  it.each([
    [
      START([
        'M140 S{{ slab }}',
        '{% if slab > 50 %}',
        'M190 S{{ slab }}',
        '{% elsif brisk %}',
        'G4 S1',
        '{% else %}',
        'G4 S2',
        '{% endif %}',
      ]),
    ],
    [
      START([
        'M140 S{{ slab }}',
        '{% unless plain %}',
        'M190 S{{ slab }}',
        '{% endunless %}',
        'M104 S{{ quill | round }}',
      ]),
    ],
    [START(['{% assign lift = nook %}', 'M104 S{{ quill }}', 'G1 Z{{ lift }} F600'])],
    [
      START([
        'M140 S{{ slab }}',
        '{% case who %}',
        '{% when "Wren" %}',
        'G4 S1',
        '{% when "Rook", "Jay" %}',
        'G4 S2',
        '{% else %}',
        'G4 S3',
        '{% endcase %}',
      ]),
    ],
    [START(['M140 S{{ slab }}', '{% for z in lifts %}', 'G1 Z{{ z }} F600', '{% endfor %}'])],
  ])('%s', (text) => {
    expect(draftedAs(text, JOB, facts)).toEqual(rows(liquid.parseAndRenderSync(text, JOB)));
  });
});

describe('ejs 3', () => {
  it.each([
    [
      START([
        'M140 S<%= slab %>',
        '<% if (slab > 50 && brisk) { %>',
        'M190 S<%= slab %>',
        '<% } else { %>',
        'G4 S5',
        '<% } %>',
      ]),
    ],
    [START(['M140 S<%= slab %>', '<% if (plain) { %>', 'G4 S1', '<% } else if (slab >= 40) { %>', 'G4 S2', '<% } %>'])],
    [START(['M104 S<%= quill - 40 %>', 'G1 X<%= nook.toFixed(1) %> F3000', 'M109 S<%= brisk ? quill : 190 %>'])],
    [START(['M140 S<%= slab %>', 'M104 S<%= Math.max(quill, 200) %>', 'G1 Z<%= lifts[1] %> F600'])],
    [START(['M140 S<%= slab %>', '<% lifts.forEach((z) => { %>', 'G1 Z<%= z %> F600', '<% }) %>'])],
  ])('%s', (text) => {
    // toFixed takes the larger of two that are as near (ECMA-262 21.1.3.3).
    expect(draftedAs(text, JOB, { ...ECMA, rounding: 'away from 0' })).toEqual(rows(ejs.render(text, JOB)));
  });
});

describe('handlebars 4', () => {
  const own = Handlebars.create();
  it.each([
    [START(['M140 S{{slab}}', 'M109 S{{quill}}', '; {{who}}'])],
    [START(['M140 S{{slab}}', '{{#if brisk}}', 'M190 S{{slab}}', '{{else}}', 'G4 S5', '{{/if}}'])],
    [START(['M140 S{{slab}}', '{{#each lifts}}', 'G1 Z{{this}} F600 ; {{@index}}', '{{/each}}'])],
    [START(['M140 S{{slab}}', '{{#unless plain}}', 'M190 S{{slab}}', '{{/unless}}'])],
    [START(['M140 S{{slab}}', '{{#if plain}}', 'G4 S1', '{{else if brisk}}', 'G4 S2', '{{/if}}'])],
  ])('%s', (text) => {
    expect(draftedAs(text, JOB, ECMA)).toEqual(rows(own.compile(text, { noEscape: true })(JOB)));
  });
});

describe('Python (the library reference: string.Template, and printf-style and format string syntax)', () => {
  const python = (code: string, text: string): string => {
    const { stdout, error } = spawnSync(
      'python3',
      [
        '-c',
        `import sys, json, string\njob = json.loads(sys.argv[2])\ntext = sys.argv[1]\nsys.stdout.write(${code})`,
        text,
        JSON.stringify(JOB),
      ],
      { encoding: 'utf8' },
    );
    if (error) throw error;
    return stdout;
  };
  const facts = { ...ECMA, rounding: 'to even', flagsWritten: ['True', 'False'], wholeAs: '3.0' };

  it.each([
    [START(['M140 S$slab', 'M109 S$quill', 'M117 price 4$$ for $who', 'G1 X$nook Y12 F3000'])],
    [START([`M140 S$${'{slab}'}`, 'M104 S$quill', `G1 X$${'{nook}'} F3000`])],
  ])('string.Template: %s', (text) => {
    expect(draftedAs(text, JOB, facts)).toEqual(rows(python('string.Template(text).substitute(job)', text)));
  });

  it.each([
    [START(['M140 S%(slab)d', 'M109 S%(quill)d', 'M117 fan 40%% for %(who)s', 'G1 X%(nook).1f F3000'])],
    [START(['M140 S%(slab)s', 'M104 S%(quill).0f'])],
  ])('%% : %s', (text) => {
    expect(draftedAs(text, JOB, facts)).toEqual(rows(python('text % job', text)));
  });

  it.each([
    [START(['M140 S{slab}', 'M109 S{quill}', 'M117 for {who}', 'G1 X{nook} F3000'])],
    [START(['M140 S{slab:.0f}', 'M104 S{quill:.1f}', 'G1 X{nook:.1f} F3000'])],
    [START(['M140 S{slab}', 'M104 S{quill}', 'G1 Z{lifts[1]} F600'])],
  ])('format: %s', (text) => {
    expect(draftedAs(text, JOB, facts)).toEqual(rows(python('text.format(**job)', text)));
  });
});

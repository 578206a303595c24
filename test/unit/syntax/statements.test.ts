// biome-ignore-all lint/suspicious/noTemplateCurlyInString: tags of other languages than TypeScript are written so.
import { describe, expect, it } from 'vitest';
import { closedBy, openedBy, sectionAt } from '../../../server/src/syntax/at.ts';
import type { Item, Tree } from '../../../server/src/syntax/nodes.ts';
import type { GivenTags } from '../../../server/src/syntax/tagLanguage.ts';
import { slice } from '../../../server/src/text/span.ts';
import { linesOf, problemsIn, read, sectionsOf, tagsIn, tagsOf } from './language.ts';

// How languages steer: forms that are found in general template languages, and some that are invented here.

const BLOCKS: GivenTags = {
  delimiters: [
    ['{{', '}}', 'values'],
    ['{%', '%}', 'statements'],
    ['{#', '#}', 'comments'],
  ],
  keywords: {
    if: 'if',
    unless: ['unless', 'if not'],
    elseIf: ['elif', 'elsif', 'else if'],
    else: 'else',
    end: ['endif', 'endfor', 'endunless', 'end for', 'endcase'],
    each: ['for ITEM in LIST', 'for INDEX, ITEM in LIST'],
    switch: 'case',
    case: 'when',
    set: ['set NAME = VALUE', 'assign NAME = VALUE'],
    include: 'include',
  },
};

const MARKED: GivenTags = {
  delimiters: [['{{', '}}']],
  trims: ['~'],
  keywords: {
    if: '#if',
    unless: '#unless',
    elseIf: 'else if',
    else: 'else',
    each: ['#each LIST as ITEM, INDEX', '#each LIST as ITEM', '#each'],
    end: ['/if', '/unless', '/each'],
    include: '>',
  },
};

const SCRIPT: GivenTags = {
  delimiters: [
    ['<%=', '%>', 'values'],
    ['<%', '%>', 'statements'],
  ],
  keywords: {
    if: 'if (CONDITION) {',
    elseIf: '} else if (CONDITION) {',
    else: '} else {',
    end: ['}', '})'],
    each: ['LIST.forEach((ITEM, INDEX) => {', 'LIST.forEach(ITEM => {', 'for (const ITEM of LIST) {'],
    switch: 'switch (VALUE) {',
    case: 'case VALUE:',
    set: ['let NAME = VALUE', 'NAME = VALUE'],
  },
};

const WORKSHOP: GivenTags = {
  delimiters: [['«', '»']],
  keywords: {
    if: 'when',
    unless: 'unless',
    elseIf: ['or when', 'else when'],
    else: ['otherwise', 'none'],
    end: ['done', '/when'],
    each: ['for each ITEM in LIST', 'LIST as ITEM', 'through LIST'],
    switch: 'choose by',
    case: 'is',
    set: 'set NAME = VALUE',
    include: 'put in',
  },
};

const ROWS: GivenTags = {
  delimiters: [['<', '>', 'values']],
  lineStatements: ['@', '%'],
  keywords: {
    if: ['if CONDITION:', 'if CONDITION'],
    elseIf: ['elif CONDITION:'],
    else: ['else:', 'else'],
    end: 'end',
    each: 'for ITEM in LIST:',
    set: 'set(NAME = VALUE)',
    switch: 'choose by',
    case: 'is',
  },
};

const BARE: GivenTags = {
  delimiters: [
    ['${', '}', 'values'],
    ['$', '', 'values'],
    ['#', '', 'statements'],
  ],
  keywords: {
    if: 'if(CONDITION)',
    elseIf: 'elseif(CONDITION)',
    else: 'else',
    end: 'end',
    each: 'foreach($ITEM in LIST)',
    set: 'set($NAME = VALUE)',
  },
};

/** One branch for each of the same rows, as each language writes it. */
const same: readonly (readonly [string, GivenTags, string])[] = [
  ['blocks', BLOCKS, '{% if a > 1 %}\nG1\n{% elif b %}\nG2\n{% else %}\nG3\n{% endif %}'],
  ['blocks, another spelling', BLOCKS, '{%if a > 1%}\nG1\n{%  else   if b%}\nG2\n{%else%}\nG3\n{%endif%}'],
  ['marks', MARKED, '{{#if a > 1}}\nG1\n{{else if b}}\nG2\n{{else}}\nG3\n{{/if}}'],
  ['marks with white-space control', MARKED, '{{#if a > 1}}\nG1\n{{else if b}}\nG2\n{{~else}}\nG3\n{{/if}}'],
  ['script', SCRIPT, '<% if (a > 1) { %>\nG1\n<% } else if (b) { %>\nG2\n<% } else { %>\nG3\n<% } %>'],
  ['script, tight', SCRIPT, '<%if(a > 1){%>\nG1\n<%}else if(b){%>\nG2\n<%}else{%>\nG3\n<%}%>'],
  ['words', WORKSHOP, '«when a > 1»\nG1\n«or when b»\nG2\n«otherwise»\nG3\n«done»'],
  ['words, another spelling', WORKSHOP, '« when a > 1 »\nG1\n« else  when b »\nG2\n« none »\nG3\n« /when »'],
  ['rows', ROWS, '@if a > 1\nG1\n@elif b:\nG2\n@else\nG3\n@end'],
  ['rows with another sign', ROWS, '  % if a > 1:\nG1\n  % elif b:\nG2\n % else:\nG3\n% end'],
  ['bare', BARE, '#if(a > 1)\nG1\n#elseif(b)\nG2\n#else\nG3\n#end'],
];

describe('an else-if chain', () => {
  it.each(same)('in %s', (_, language, text) => {
    const tree = read(language, text);
    expect(tree.problems).toEqual([]);
    expect(sectionsOf(tree)).toEqual(['if a > 1', 'elseIf b unless a > 1', 'else unless a > 1, b']);
    const lines = linesOf(language, text).filter((line) => line !== '');
    expect(lines).toEqual(['G1', 'G2', 'G3']);
    expect(tree.lines.flatMap((line) => line.commands.map((c) => tree.sections.indexOf(c.section as never)))).toEqual([
      0, 1, 2,
    ]);
    expect(tree.tags.every(({ closed }) => closed)).toBe(true);
  });
});

describe('unless', () => {
  it.each<[GivenTags, string]>([
    [BLOCKS, '{% unless a %}G1{% else %}G2{% endunless %}'],
    [BLOCKS, '{% if not a %}G1{% else %}G2{% endif %}'],
    [MARKED, '{{#unless a}}G1{{else}}G2{{/unless}}'],
    [WORKSHOP, '«unless a»G1«otherwise»G2«done»'],
  ])('is a section with its condition negated', (language, text) => {
    const tree = read(language, text);
    expect(tree.problems).toEqual([]);
    expect(sectionsOf(tree)).toEqual(['unless a', 'else unless a']);
    expect(tree.sections.map(({ inverted }) => inverted)).toEqual([true, false]);
    expect(tree.sections[0]?.open.kind).toBe('inverted');
  });
});

const eachOf = ({ sections, text }: Tree) =>
  sections.flatMap(({ each }) =>
    each ? [[each.item, each.index, each.list].map((span) => (span ? slice(text, span) : null))] : [],
  );

describe('a loop', () => {
  it.each<[GivenTags, string, (string | null)[]]>([
    [BLOCKS, '{% for t in tools %}T{{ t.number }}\n{% endfor %}', ['t', null, 'tools']],
    [BLOCKS, '{% for i, t in job.tools %}T{{ i }}\n{% end for %}', ['t', 'i', 'job.tools']],
    [BLOCKS, '{% for i in (1..3) %}G4{% endfor %}', ['i', null, '(1..3)']],
    [MARKED, '{{#each tools}}T{{this}}\n{{/each}}', [null, null, 'tools']],
    [MARKED, '{{#each tools as t}}T{{t}}\n{{/each}}', ['t', null, 'tools']],
    [MARKED, '{{#each tools as t, i}}T{{t}}\n{{/each}}', ['t', 'i', 'tools']],
    [SCRIPT, '<% tools.forEach((t, i) => { %>T<%= t %>\n<% }) %>', ['t', 'i', 'tools']],
    [SCRIPT, '<% tools.forEach(t => { %>T<%= t %>\n<% }) %>', ['t', null, 'tools']],
    [SCRIPT, '<% for (const t of tools) { %>T<%= t %>\n<% } %>', ['t', null, 'tools']],
    [WORKSHOP, '«for each spool in spools.used»M117 «spool»\n«done»', ['spool', null, 'spools.used']],
    [WORKSHOP, '«spools as spool»M117 «spool»\n«done»', ['spool', null, 'spools']],
    [WORKSHOP, '«through spools»M117 x\n«done»', [null, null, 'spools']],
    [ROWS, '@for t in tools:\nT<t>\n@end', ['t', null, 'tools']],
    [BARE, '#foreach($t in $tools)\nT$t\n#end', ['t', null, '$tools']],
  ])('gives item, index and list: %#', (language, text, each) => {
    const tree = read(language, text);
    expect(tree.problems).toEqual([]);
    expect(eachOf(tree)).toEqual([each]);
    expect(tree.sections[0]?.open.keyword).toBe('each');
    expect(slice(text, tree.sections[0]?.open.inner ?? { start: 0, end: 0 })).toBe(each[2]);
  });

  it('with an else has a branch for the empty list', () => {
    for (const [language, text] of [
      [BLOCKS, '{% for t in tools %}T1{% else %}G4{% endfor %}'],
      [MARKED, '{{#each tools}}T1{{else}}G4{{/each}}'],
      [WORKSHOP, '«for each t in tools»T1«none»G4«done»'],
    ] as const) {
      const tree = read(language, text);
      expect(sectionsOf(tree)).toEqual(['each tools', 'else unless tools']);
      expect(tree.sections[1]?.each).toBeNull();
      expect(tree.problems).toEqual([]);
    }
  });

  it('of Mustache is no statement: a mark says it', () => {
    const tree = read({}, '{{#tools}}T{{number}}{{/tools}}');
    expect(tree.sections[0]).toMatchObject({ each: null, subject: null });
    expect(tree.tags[0]).not.toHaveProperty('keyword');
  });
});

describe('a switch', () => {
  const texts: readonly (readonly [GivenTags, string, string])[] = [
    [
      BLOCKS,
      '{% case kind %}\n{% when "a", "b" %}\nG1\n{% when "c" %}\nG2\n{% else %}\nG3\n{% endcase %}\nG4',
      '"a", "b"',
    ],
    [WORKSHOP, '«choose by kind»\n«is "a" or "b"»\nG1\n«is "c"»\nG2\n«otherwise»\nG3\n«done»\nG4', '"a" or "b"'],
    [SCRIPT, '<% switch (kind) { %>\n<% case "a": %>\nG1\n<% case "c": %>\nG2\n<% } else { %>\nG3\n<% } %>\nG4', '"a"'],
    [ROWS, '@choose by kind\n@is 1\nG1\n@is "c"\nG2\n@else\nG3\n@end\nG4', '1'],
  ];
  it.each(texts)('is a chain of branches in a section of its own: %#', (language, text, first) => {
    const tree = read(language, text);
    expect(tree.problems).toEqual([]);
    expect(sectionsOf(tree)).toEqual([
      'switch kind',
      `.case ${first} of kind`,
      `.case "c" of kind unless ${first}`,
      `.else of kind unless ${first}, "c"`,
    ]);
    const [outer, , , last] = tree.sections;
    expect(last?.close).toBe(outer?.close);
    expect(outer?.span.end).toBe(last?.span.end);
    expect(tree.lines.at(-1)?.commands[0]?.section).toBeNull();
    const end = tree.tags.at(-1);
    expect(end && closedBy(tree, end)).toBe(outer);
    expect(sectionAt(tree, text.length)).toBeNull();
    expect(sectionAt(tree, text.indexOf('G3'))).toBe(last);
  });

  it('may nest, and stand in a line', () => {
    const text = 'M104 S«choose by kind»«is "a"»190«is "b"»«when hot»240«otherwise»230«done»«otherwise»205«done» T0';
    expect(problemsIn(WORKSHOP, text)).toEqual([]);
    expect(sectionsOf(read(WORKSHOP, text))).toEqual([
      'switch kind',
      '.case "a" of kind',
      '.case "b" of kind unless "a"',
      '..if hot',
      '..else unless hot',
      '.else of kind unless "a", "b"',
    ]);
    expect(linesOf(WORKSHOP, text)[0]).toMatch(/^M104 S=\[«choose by kind»\|«is "a"»\|190\|.*205\|«done»\] T=0$/);
  });

  it('tells a case that is in none, an else-if in one, and what comes behind its else', () => {
    expect(problemsIn(WORKSHOP, '«is 1»')).toEqual(['stray-close "«is 1»"']);
    expect(problemsIn(WORKSHOP, '«when a»«is 1»«done»')).toEqual(['stray-close "«is 1»"']);
    expect(problemsIn(WORKSHOP, '«choose by a»«is 1»«or when b»«done»')).toEqual(['stray-close "«or when b»"']);
    expect(problemsIn(WORKSHOP, '«choose by a»«otherwise»«is 1»«done»')).toEqual(['stray-close "«is 1»"']);
    expect(problemsIn(WORKSHOP, '«choose by a»«is 1»G1')).toEqual(['unclosed-section "«choose by a»"']);
    expect(problemsIn(WORKSHOP, '«choose by a»«is 1»«when b»«done»«done»')).toEqual([]);
  });
});

describe('a setting', () => {
  it.each<[GivenTags, string, string, string]>([
    [BLOCKS, '{% set lift = tall + 5 %}', 'lift', 'tall + 5'],
    [BLOCKS, '{%assign a.b = "x = y"%}', 'a.b', '"x = y"'],
    [SCRIPT, '<% let lift = tall == 5 %>', 'lift', 'tall == 5'],
    [SCRIPT, '<% lift = max(a, b) %>', 'lift', 'max(a, b)'],
    [WORKSHOP, '«set first layer = 3»', 'first layer', '3'],
    [ROWS, '@set(lift = (a + b))', 'lift', '(a + b)'],
    [BARE, '#set($lift = $tall + 5)', 'lift', '$tall + 5'],
  ])('gives name and value: %#', (language, text, name, value) => {
    const [tag] = read(language, `G28\n${text}\nG1`).tags;
    expect(tagsOf(language, text)).toEqual([`set <${value}> NAME=${name} VALUE=${value}`]);
    expect(tag?.kind).toBe('set');
    expect(problemsIn(language, `G28\n${text}\nG1`)).toEqual([]);
    expect(linesOf(language, `G28\n${text}\nG1`)).toEqual(['G28', '', 'G1']);
  });

  it('is no comparison', () => {
    expect(
      tagsOf({ delimiters: [['{', '}']], keywords: { set: 'NAME = VALUE' } }, '{a = b}{a == b}{a >= b}{a != b}'),
    ).toEqual(['set <b> NAME=a VALUE=b', 'value <a == b>', 'value <a >= b>', 'value <a != b>']);
  });
});

describe('an include', () => {
  it.each<[GivenTags, string, string]>([
    [{}, '{{> head }}', 'partial <head>'],
    [BLOCKS, '{% include "head" %}', 'include <"head">'],
    [MARKED, '{{> head}}', 'include <head>'],
    [WORKSHOP, '«put in head»', 'include <head>'],
  ])('is a tag that may give any text: %#', (language, text, tag) => {
    // A name is no text in quotes, so BLOCKS declares its own form.
    const given = text.includes('"')
      ? { ...language, keywords: { ...language.keywords, include: 'include VALUE' } }
      : language;
    expect(tagsOf(given, text)).toEqual([tag]);
    expect(read(given, text).tags[0]?.kind).toBe('partial');
    expect(linesOf(given, text)).toEqual(['?']);
  });
});

describe('a line statement', () => {
  it('takes its whole row, and rows that a \\ joins', () => {
    expect(tagsOf(ROWS, '  @if a > 1  \nG1\n@end')).toEqual(['if <a > 1>', 'end <>']);
    expect(tagsOf(ROWS, '@if a > 1 and \\\r\n  b\nG1\n@end')).toEqual(['if <a > 1 and \\\r\n  b>', 'end <>']);
    expect(linesOf(ROWS, '@if a > 1 and \\\n  b\nG1\n@end')).toEqual(['', 'G1', '']);
  });

  it('stands first on its row', () => {
    expect(tagsOf(ROWS, 'G28 @if a\nM117 % end')).toEqual([]);
    expect(tagsOf(ROWS, '%\nG28 ; @end\n%')).toEqual([]);
    expect(tagsOf({ ...ROWS, delimiters: [['«', '»']], lineStatements: ['#'] }, '#1=5\n#<v>=3\n#if a\n#end')).toEqual([
      'if <a>',
      'end <>',
    ]);
  });

  it('that is none of the language’s may be any text', () => {
    expect(tagsOf(ROWS, '@define x as y\nG28')).toEqual(['foreign <define x as y>']);
    expect(linesOf(ROWS, '@define x as y\nG28')).toEqual(['?', 'G28']);
    expect(problemsIn(ROWS, '@define x as y\nG28')).toEqual([]);
  });

  it('gives way to a value that begins a row', () => {
    const both: GivenTags = { ...ROWS, delimiters: [['@', '@']] };
    expect(tagsOf(both, '@line@ X5\n@if a\n@end')).toEqual(['value <line>', 'if <a>', 'end <>']);
  });
});

describe('a statement that nobody knows', () => {
  it('may be any text, and is no fault of the text', () => {
    const text = '{% macro x(y) %}\nG1 X5{% thing %}';
    expect(tagsOf(BLOCKS, text)).toEqual(['foreign <macro x(y)>', 'foreign <thing>']);
    expect(linesOf(BLOCKS, text)).toEqual(['?', 'G1 X=[5|{% thing %}]']);
    expect(problemsIn(BLOCKS, text)).toEqual([]);
  });
});

describe('what closes a section', () => {
  it('may be named after what opened it', () => {
    const text = '{% if a %}{% for x in y %}{% if b %}{% endif %}{% endfor %}{% endif %}';
    expect(problemsIn(BLOCKS, text)).toEqual([]);
    const { sections, tags } = read(BLOCKS, text);
    expect(sections.map(({ close }) => tags.indexOf(close as never))).toEqual([5, 4, 3]);
  });

  it('closes the innermost of that name, and what is open inside is told once', () => {
    expect(problemsIn(BLOCKS, '{% if a %}{% for x in y %}{% endif %}')).toEqual([
      'unclosed-section "{% for x in y %}"',
    ]);
    expect(problemsIn(BLOCKS, '{% if a %}{% for x in y %}{% endif %}{% endfor %}')).toEqual([
      'crossed-sections "{% endfor %}"',
    ]);
    expect(problemsIn(BLOCKS, '{% if a %}{% endfor %}{% endif %}')).toEqual(['stray-close "{% endfor %}"']);
    const [problem] = read(BLOCKS, '{% for x in y %}').problems;
    expect(problem?.message).toMatch(/Put \{%endfor%\} where it is to end\.$/);
  });

  it('may repeat the list or the condition', () => {
    const language: GivenTags = {
      delimiters: [['<', '>']],
      keywords: { if: 'if', else: 'else', each: 'all LIST', end: ['end CONDITION', 'end'] },
    };
    expect(problemsIn(language, '<if a><all parts><end parts><else><end a>')).toEqual([]);
    expect(problemsIn(language, '<if a><all parts><end parts><end>')).toEqual([]);
    expect(problemsIn(language, '<if a><all parts><end a>')).toEqual(['unclosed-section "<all parts>"']);
    expect(read(language, '<all parts>').problems[0]?.message).toContain('Put <end parts> where');
  });

  it('of Mustache sections beside an else repeats the first branch’s text', () => {
    const language: GivenTags = { delimiters: [['{{', '}}']], keywords: { else: 'else' } };
    expect(problemsIn(language, 'M104 S{{#a}}1{{else}}2{{/a}}')).toEqual([]);
  });

  it('and an else may be named too', () => {
    const language: GivenTags = {
      delimiters: [['<', '>']],
      keywords: { if: 'if', each: 'for ITEM in LIST', else: ['else', 'elsefor'], end: 'end' },
    };
    expect(problemsIn(language, '<for a in b><elsefor><end><if a><else><end>')).toEqual([]);
    expect(problemsIn(language, '<if a><elsefor><end>')).toEqual(['stray-close "<elsefor>"']);
  });
});

describe('a form', () => {
  it('that stands alone takes the whole content only', () => {
    expect(tagsOf(WORKSHOP, '«otherwise + 1»«done.at»«donext»«whenever»«when»')).toEqual([
      'value <otherwise + 1>',
      'value <done.at>',
      'value <donext>',
      'value <whenever>',
      'if <>',
    ]);
  });

  it('is found whatever brackets and quotes its parts have', () => {
    expect(tagsOf(SCRIPT, '<% if (f(a) && b == ") {") { %><% } %>')).toEqual(['if <f(a) && b == ") {">', 'end <>']);
    expect(tagsOf(BLOCKS, '{% for x in f("in ", [a, b]) %}{% endfor %}')).toEqual([
      'each <f("in ", [a, b])> ITEM=x LIST=f("in ", [a, b])',
      'end <>',
    ]);
    expect(tagsOf(WORKSHOP, '«pick(a as b) as c»«done»')).toEqual([
      'each <pick(a as b)> ITEM=c LIST=pick(a as b)',
      'end <>',
    ]);
  });

  it('leaves the Mustache marks in force where it says nothing', () => {
    const set: GivenTags = { delimiters: [['{{', '}}']], keywords: { set: 'set NAME = VALUE' } };
    expect(tagsOf(set, '{{! c }}{{#a}}{{set x = 1}}{{/a}}{{>p}}')).toEqual([
      'comment <c>',
      'section <a>',
      'set <1> NAME=x VALUE=1',
      'close <a>',
      'partial <p>',
    ]);
  });
});

/** Line numbers, blocks in brackets. */
const outline = (items: readonly Item[]): string =>
  items.map((item) => (item.type === 'line' ? String(item.index) : `[${outline(item.items)}]`)).join(' ');

describe('sections anywhere', () => {
  const values = (text: string) => linesOf(WORKSHOP, text);

  it('around whole lines, within one line, and in one another', () => {
    const text = 'G21\n«when a»\nG1\n«when b»\nG2\n«otherwise»\nG3\n«done»\n«done»\nG4 «when c»P5«done»';
    const tree = read(WORKSHOP, text);
    expect(tree.problems).toEqual([]);
    expect(outline(tree.items)).toBe('0 1 [2 3 [4] 5 [6] 7] 8 9');
    expect(tagsIn(tree)).toHaveLength(7);
  });

  it('around part of a word’s value', () => {
    expect(values('M104 S«when a»190«otherwise»205«done» T0')).toEqual([
      'M104 S=[«when a»|190|«otherwise»|205|«done»] T=0',
    ]);
    expect(values('M104 S2«when a»1«otherwise»0«done»5')).toEqual(['M104 S=[2|«when a»|1|«otherwise»|0|«done»|5]']);
    expect(values('M104 S«when a»«x»«or when b»«y»«done»')).toEqual(['M104 S=[«when a»|«x»|«or when b»|«y»|«done»]']);
    expect(values('M10«when a»4«otherwise»9«done» S200')).toEqual(['? S=200']);
  });

  it('around a letter: neither branch has a value that is known', () => {
    expect(values('G1 «when a»X«otherwise»Y«done»10 F600')).toEqual(['G1 X=[«otherwise»] Y=[«done»|10] F=600']);
    expect(values('G1 «when a»X1«otherwise»Y2«done»0')).toEqual(['G1 X=[1|«otherwise»] Y=[2|«done»|0]']);
    expect(values('«when a»M104 S«or when b»M109 S«otherwise»M140 S«done»«x»')).toEqual([
      'M104 S=[«or when b»] / M109 S=[«otherwise»] / M140 S=[«done»|«x»]',
    ]);
    // With a blank behind, the branches have said all.
    expect(values('G1 «when a»X1«otherwise»Y2«done» Z3')).toEqual(['G1 X=1 Y=2 Z=3']);
  });

  it('that end on another line than they began', () => {
    const text = 'G1 X«when a»10\nG1 Y5\n«otherwise»20\n«done»\nG28';
    expect(values(text)).toEqual(['G1 X=[«when a»|10]', 'G1 Y=5', '?', '', 'G28']);
    expect(problemsIn(WORKSHOP, text)).toEqual([]);
    expect(problemsIn(WORKSHOP, 'G1 X5 «when a»Y6\nG1 Z5«done» F600')).toEqual([]);
    expect(values('G1 X5 «when a»Y6\nG1 Z5«done» F600')).toEqual(['G1 X=5 Y=6', 'G1 Z=5 F=600']);
  });

  it('1,000 and 100,000 deep, in one line or many', () => {
    for (const [deep, eol] of [
      [1000, '\n'],
      [1000, ''],
      [100_000, '\n'],
    ] as const) {
      const text = `${`«when a»${eol}`.repeat(deep)}G28${eol}${`«otherwise»${eol}G4${eol}«done»${eol}`.repeat(deep)}`;
      const tree = read(WORKSHOP, text);
      expect(tree.problems).toEqual([]);
      expect(tree.sections).toHaveLength(2 * deep);
      const inner = tree.tags[deep - 1];
      expect(tree.lines.flatMap((l) => l.commands)[0]?.section).toBe(inner && openedBy(tree, inner));
    }
  });
});

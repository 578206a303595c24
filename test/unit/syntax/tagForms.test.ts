// biome-ignore-all lint/suspicious/noTemplateCurlyInString: tags of other languages than TypeScript are written so.
import { describe, expect, it } from 'vitest';
import type { GivenTags } from '../../../server/src/syntax/tagLanguage.ts';
import { slice } from '../../../server/src/text/span.ts';
import { linesOf, problemsIn, read, tagsOf } from './language.ts';

// How general template languages, and some that are invented here, write a value, a comment, an escape. Each row is read
// by a language that declares just what it needs.

const pairs = (...delimiters: [string, string][]): GivenTags => ({ delimiters });

describe('a value', () => {
  it.each<[string, GivenTags, string]>([
    ['{{ x }}', pairs(['{{', '}}']), 'x'],
    ['{x}', pairs(['{', '}']), 'x'],
    ['[x]', pairs(['[', ']']), 'x'],
    ['<x>', pairs(['<', '>']), 'x'],
    ['%x%', pairs(['%', '%']), 'x'],
    ['@x@', pairs(['@', '@']), 'x'],
    ['${x}', pairs(['${', '}']), 'x'],
    ['$x', pairs(['$', '']), 'x'],
    ['$x.y', pairs(['$', '']), 'x.y'],
    ['#{x}', pairs(['#{', '}']), 'x'],
    ['%(x)d', pairs(['%(', ')d']), 'x'],
    ['<%= x %>', pairs(['<%=', '%>']), 'x'],
    ['«x»', pairs(['«', '»']), 'x'],
    ['«first layer»', pairs(['«', '»']), 'first layer'],
    ['%first layer%', pairs(['%', '%']), 'first layer'],
    ['@bed-temp@', pairs(['@', '@']), 'bed-temp'],
    ['%1st_layer%', pairs(['%', '%']), '1st_layer'],
    ['<bed%>', pairs(['<', '>']), 'bed%'],
    ['[tips[0]]', pairs(['[', ']']), 'tips[0]'],
    ['[tips[tips[0]]]', pairs(['[', ']']), 'tips[tips[0]]'],
    ['[[tips[0]]]', pairs(['[[', ']]']), 'tips[0]'],
    ['$(max(a, (b)))', pairs(['$(', ')']), 'max(a, (b))'],
    ['{M1}', pairs(['{', '}']), 'M1'],
    ['«G28»', pairs(['«', '»']), 'G28'],
    ['<T0>', pairs(['<', '>']), 'T0'],
    ['{a\n + b}', pairs(['{', '}']), 'a\n + b'],
  ])('is read: %j', (tag, language, inner) => {
    for (const text of [`G1 X10 ${tag.includes('\n') ? 'Z' : 'Y'}${tag} F600`, `M104 S${tag}`]) {
      expect(tagsOf(language, text)).toEqual([`value <${inner}>`]);
      expect(problemsIn(language, text)).toEqual([]);
    }
    expect(linesOf(language, `M104 S${tag} T1`)).toEqual([`M104 S=[${tag}] T=1`]);
    expect(tagsOf(language, `M117 at ${tag} now`)).toEqual([`value <${inner}>`]);
  });

  it('in several pairs at once is read by the longest opener, and by the close that comes first', () => {
    const many = pairs(['{', '}'], ['{{', '}}'], ['${', '}'], ['$', ''], ['<%', '%>'], ['<%=', '%>'], ['<', '>']);
    expect(tagsOf(many, 'X{a} Y{{b}} Z${c} E$d F<%=e%> S<%f%> P<g>')).toEqual([
      'value <a>',
      'value <b>',
      'value <c>',
      'value <d>',
      'value <e>',
      'value <f>',
      'value <g>',
    ]);
    const formats = pairs(['%(', ')d'], ['%(', ')s'], ['%(', ').1f']);
    expect(linesOf(formats, 'M104 S%(a)d T%(b)s\nG1 Z%(c).1f')).toEqual(['M104 S=[%(a)d] T=[%(b)s]', 'G1 Z=[%(c).1f]']);
  });

  it('may hold its close within quotes', () => {
    expect(tagsOf(pairs(['{', '}']), 'M117 {kind == "}" ? "{" : \'}\'} b {c}')).toEqual([
      'value <kind == "}" ? "{" : \'}\'>',
      'value <c>',
    ]);
    expect(tagsOf(pairs(['<', '>']), 'M117 <a + "\\">">')).toEqual(['value <a + "\\">">']);
    // An apostrophe is no quote, and a quote without a partner on its row neither.
    expect(tagsOf(pairs(['{', '}']), "M117 {it's} {so}")).toEqual(["value <it's>", 'value <so>']);
    expect(tagsOf(pairs(['{', '}']), 'M117 {a "} b')).toEqual(['value <a ">']);
    expect(tagsOf({ ...pairs(['{', '}']), quotes: ['`'] }, 'M117 {a + `}`} {"}')).toEqual([
      'value <a + `}`>',
      'value <">',
    ]);
  });
});

describe('a bare name', () => {
  const bare: GivenTags = { delimiters: [['$', '']] };
  it.each([
    ['G1 X$left Y$top', 'G1 X=[$left] Y=[$top]'],
    ['G1 X$leftY$topF300', 'G1 X=[$left] Y=[$top] F=300'],
    ['G1 X$left.5 Y-$a', 'G1 X=[$left|.5] Y=[-|$a]'],
    ['G1 X$part.top Z$a.b.c', 'G1 X=[$part.top] Z=[$a.b.c]'],
    ['G1 X$topLeft Y$BED', 'G1 X=[$topLeft] Y=[$BED]'],
    ['G1 X$tips[0] Y$tips[tool]', 'G1 X=[$tips[0]] Y=[$tips[tool]]'],
    ['G1 X$a_1Y-3', 'G1 X=[$a_1] Y=-3'],
    ['M104 S$größe', 'M104 S=[$größe]'],
    ['M104 S2$a', 'M104 S=[2|$a]'],
  ])('ends before the next word: %j', (text, line) => {
    expect(linesOf(bare, text)).toEqual([line]);
    expect(problemsIn(bare, text)).toEqual([]);
  });

  it('needs a letter behind its sign, and no mail address around it', () => {
    expect(tagsOf(bare, 'M117 $5 and $ and 3$, $x.')).toEqual(['value <x>']);
    expect(tagsOf({ delimiters: [['@', '']] }, 'M117 joe@home.example @x X@y')).toEqual(['value <x>', 'value <y>']);
    expect(tagsOf({ delimiters: [['#', '']] }, '#1=5\nG1 X#2 Y[#1+5] Z#<v>')).toEqual([]);
  });
});

describe('equal ends', () => {
  const both = pairs(['%', '%'], ['@', '@']);
  it.each([
    'M117 50% and 100%',
    'M117 50%, 100%',
    'M117 50% 100% 20%',
    'M117 a@b.c and d@e.f',
    'M117 a@b.example d@e.example',
    'M117 joe@home.example, ann@home.example',
    '%\nG28\n%',
    '; 20% of 30%',
    '(5%-10%)',
  ])('make no tag of %j', (text) => {
    expect(tagsOf(both, text)).toEqual([]);
    expect(problemsIn(both, text)).toEqual([]);
  });

  it('need a name that touches both, on one row', () => {
    expect(tagsOf(both, 'S%a% T%b.c% X@d[0]@')).toEqual(['value <a>', 'value <b.c>', 'value <d[0]>']);
    expect(tagsOf(both, 'M117 % a % @b\n@')).toEqual([]);
    expect(tagsOf(both, 'M117 100% %a%')).toEqual(['value <a>']);
  });

  it('hold an expression behind another tag or a comment that is over on the same row', () => {
    expect(tagsOf(both, 'G1 (up) X%min(a, b)% Y%max(c, d)% E@e@ ; Z%min(f, g)%')).toEqual([
      'value <min(a, b)>',
      'value <max(c, d)>',
      'value <e>',
    ]);
  });

  it.each(['min(a + 10, b.c)', 'max(a, min(b, 5))', '(a + b) * 2', 'a ? b : c', '-a', 'a > b && !c ? 1 : 2', "d['x']"])(
    'hold an expression where a value belongs: %j',
    (inner) => {
      expect(linesOf(both, `G1 Z@${inner}@ F500`)).toEqual([`G1 Z=[@${inner}@] F=500`]);
      expect(problemsIn(both, `G1 Z@${inner}@ F500`)).toEqual([]);
    },
  );

  it.each([
    'M117 it is (A%b, c% and (d',
    'M117 set 5%, more (a, b)% and so on',
    'M117 S@home, and T@school',
    '; Z%min(a, b)%',
    'M117 really?%a, b% yes',
    'G1 Z%min(a, b)\nG1 Y5 ; 5%',
  ])('hold no sentence: %j', (text) => expect(tagsOf(both, text).filter((tag) => tag.includes(','))).toEqual([]));

  it('may hold statements', () => {
    const language: GivenTags = { delimiters: [['%', '%']], keywords: { if: 'if', else: 'else', end: 'end' } };
    expect(linesOf(language, 'M104 S%if a > 1%190%else%205%end%')).toEqual([
      'M104 S=[%if a > 1%|190|%else%|205|%end%]',
    ]);
    expect(tagsOf(pairs(['|', '|']), '|#a|G1|/a|')).toEqual(['section <a>', 'close <a>']);
  });
});

describe('a comment', () => {
  it.each<[string, GivenTags]>([
    ['{{! {{a }}', {}],
    [
      '{{!-- a }} {{b}} --}}',
      {
        delimiters: [
          ['{{', '}}'],
          ['{{!--', '--}}', 'comments'],
        ],
      },
    ],
    [
      '{# {{ a }} #}',
      {
        delimiters: [
          ['{{', '}}'],
          ['{#', '#}', 'comments'],
        ],
      },
    ],
    [
      '<%# a <%= b %>',
      {
        delimiters: [
          ['<%=', '%>', 'values'],
          ['<%#', '%>', 'comments'],
        ],
      },
    ],
    [
      '## $a {{b}}',
      {
        delimiters: [
          ['$', ''],
          ['{{', '}}'],
          ['##', '', 'comments'],
        ],
      },
    ],
    [
      '{# it\'s "half\n a {% row #}',
      {
        delimiters: [
          ['{%', '%}'],
          ['{#', '#}', 'comments'],
        ],
      },
    ],
    [
      '{% comment %} {{a}} {% if %}{% endcomment %}',
      {
        delimiters: [
          ['{%', '%}'],
          ['{% comment %}', '{% endcomment %}', 'comments'],
        ],
      },
    ],
  ])('is not read: %j', (comment, language) => {
    const { tags } = read(language, `G28 ${comment}`);
    const [whole] = tags.filter(({ kind }) => kind === 'comment');
    expect(slice(`G28 ${comment}`, whole?.span ?? { start: 0, end: 0 })).toMatch(/^[{<#]/);
    expect(problemsIn(language, `G28 ${comment}`)).toEqual([]);
    expect(linesOf(language, `G28 ${comment}`)).toEqual(['G28']);
    expect(tags).toHaveLength(1);
  });
});

describe('an escape', () => {
  it.each<[string, Record<string, string>, GivenTags['delimiters'], string[]]>([
    ['M117 {{{{ {{a}}', { '{{{{': '{{' }, [['{{', '}}']], ['escape <> gives {{', 'value <a>']],
    ['M117 \\{{a}} {{b}}', { '\\{{': '{{' }, [['{{', '}}']], ['escape <> gives {{', 'value <b>']],
    ['M117 $$5 $a', { $$: '$' }, [['$', '']], ['escape <> gives $', 'value <a>']],
    ['M117 50%% %a%', { '%%': '%' }, [['%', '%']], ['escape <> gives %', 'value <a>']],
    ['M117 {{ {a}', { '{{': '{', '}}': '}' }, [['{', '}']], ['escape <> gives {', 'value <a>']],
  ])('gives the sign itself: %j', (text, escapes, delimiters, tags) => {
    expect(tagsOf({ delimiters, escapes }, text)).toEqual(tags);
    expect(problemsIn({ delimiters, escapes }, text)).toEqual([]);
  });

  it('makes no command and no value', () => {
    const language: GivenTags = { delimiters: [['%', '%']], escapes: { '%%': '%' } };
    expect(linesOf(language, '%%\nG28')).toEqual(['', 'G28']);
    expect(linesOf(language, 'M104 S%%5')).toEqual(['M104 S']);
  });
});

describe('a raw stretch', () => {
  const language: GivenTags = {
    delimiters: [
      ['{{', '}}'],
      ['{%', '%}', 'statements'],
    ],
    raw: [['{% raw %}', '{% endraw %}']],
  };
  it('is text in which no tag is read, and G-code all the same', () => {
    const text = '{% raw %}\nM117 {{a}} {% if %}\nG1 X5\n{% endraw %}\nG1 X{{b}}';
    expect(tagsOf(language, text)).toEqual(['raw <>', 'raw <>', 'value <b>']);
    expect(linesOf(language, text)).toEqual(['', 'M117 <{{a}} {% if %}>', 'G1 X=5', '', 'G1 X=[{{b}}]']);
    expect(problemsIn(language, text)).toEqual([]);
  });
});

describe('white-space control', () => {
  const language: GivenTags = {
    delimiters: [
      ['{{', '}}', 'values'],
      ['{%', '%}', 'statements'],
    ],
    trims: ['-', '~'],
    keywords: { if: 'if', end: 'end' },
  };
  const taken = (text: string, given: GivenTags = language): (string | null)[] =>
    read(given, text).tags.map(({ takes }) => (takes ? slice(text, takes) : null));

  it('says what white space goes, rows’ ends included, and no further than the tags beside', () => {
    expect(taken('G1 X {{- a }} Y')).toEqual([' {{- a }}']);
    expect(taken('G1 X{{ a -}}  Y5')).toEqual(['{{ a -}}  ']);
    expect(taken('G1 X {{~ a ~}} {{~b}}')).toEqual([' {{~ a ~}} ', '{{~b}}']);
    expect(taken('G28\n  {%- if a -%}\r\nG1\n{% end %}')).toEqual(['\n  {%- if a -%}\r\n', null]);
    expect(tagsOf(language, '{{- a -}} {{-b}} {{ c-}}')).toEqual(['value <a>', 'value <b>', 'value <c>']);
  });

  it('joins the rows between which the ends are gone, as they are when it is filled in', () => {
    const text = 'G21 X5\n{%- if a -%}\nG28\n{%- end %}\nG90';
    expect(linesOf(language, text)).toEqual(['G21 X=5 / G28', 'G90']);
    expect(linesOf(language, '; note\n{%- if a %}\nG28{% end %}')).toEqual(['', 'G28']);
    expect(linesOf(language, 'G1 X {{- a }} Y{{ b -}}\n5')).toEqual(['G1 X=[{{- a }}] Y=[{{ b -}}|5]']);
    expect(linesOf(language, 'G1 X1\n{{- a }}')).toEqual(['G1 X=[1|{{- a }}]']);
  });

  it('needs a blank beside a sign that is declared with one: {{-x}} is minus x then', () => {
    const blank: GivenTags = { delimiters: [['{{', '}}']], trims: ['- '] };
    expect(taken('G1 X {{-x}} Y {{- y}} Z{{ z -}} E{{ e-}}', blank)).toEqual([null, ' {{- y}}', '{{ z -}} ', null]);
    expect(tagsOf(blank, '{{-x}} {{- y}}')).toEqual(['value <-x>', 'value <y>']);
  });
});

describe('words that are partly tags', () => {
  const language: GivenTags = { delimiters: [['{', '}']] };
  it.each([
    ['G1 X-{a} Y+{b} Z1{c} E{d}.5', 'G1 X=[-|{a}] Y=[+|{b}] Z=[1|{c}] E=[{d}|.5]'],
    ['G1 X-1{a}2{b}3', 'G1 X=[-1|{a}|2|{b}|3]'],
    ['G1 X{a}{b}', 'G1 X=[{a}|{b}]'],
    // 1E{x} is 1 and then E, no power of ten (NISTIR 6556 3.3.2.1 knows no exponents).
    ['G1 X1E{x}', 'G1 X=1 E=[{x}]'],
    ['G1 X{a}E5', 'G1 X=[{a}] E=5'],
    ['G1 X{a}E{b}', 'G1 X=[{a}] E=[{b}]'],
    ['T{n}', 'T T=[{n}]'],
    ['M{code} S5', '? S=5'],
    ['G{code}', '?'],
    ['{line}', '?'],
    ['{"M109 S" ~ tip}', '?'],
    ['{axis}10 F600', '? F=600'],
    ['G1 {axis}10 F600', 'G1 =[{axis}|10] F=600'],
    ['G1 {axis}{n}', 'G1 =[{axis}|{n}]'],
    ['{a}E5', '? E=5'],
  ])('%j', (text, line) => {
    expect(linesOf(language, text)).toEqual([line]);
    expect(problemsIn(language, text)).toEqual([]);
  });
});

describe('texts that only look like tags', () => {
  const texts = [
    '#1=5',
    'G1 X#1 Y#<v>',
    'G1 X[#1+5]',
    'G1 X[6-[4*3/2]] Y[SIN[30]]',
    '; {was 55} <- x < 40 and y > 5',
    'M117 50% and 100%',
    '; {"temp": 210, "fan": [1, 2]}',
    'M117 joe@home.example, 5 @ 20',
    '%',
    '; $5 for 20% of it',
    'N10 G28*71',
    '(a {b} <c> [d])',
  ];
  const languages: readonly GivenTags[] = [
    {},
    { delimiters: [['«', '»']] },
    {
      delimiters: [
        ['{{', '}}', 'values'],
        ['{%', '%}', 'statements'],
      ],
    },
    {
      delimiters: [
        ['${', '}'],
        ['#', '', 'statements'],
      ],
      keywords: { if: 'if(CONDITION)', end: 'end' },
    },
    {
      delimiters: [
        ['$', ''],
        ['@', '@'],
      ],
      lineStatements: ['@', '%'],
      keywords: { if: 'if', end: 'end' },
    },
  ];

  it.each(texts)('have none, whatever does not declare such ends: %j', (text) => {
    for (const language of languages) expect(tagsOf(language, text), JSON.stringify(language)).toEqual([]);
  });

  it('nor where it does, as far as RS-274 has them', () => {
    const brackets: GivenTags = { delimiters: [['[', ']']] };
    expect(tagsOf(brackets, 'G1 X[#1+5] Y[6-[4*3/2]] Z[2] E SIN[a] F[name]')).toEqual(['value <name>']);
  });
});

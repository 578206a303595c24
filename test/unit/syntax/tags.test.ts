import { describe, expect, it } from 'vitest';
import { parse } from '../../../server/src/syntax/parse.ts';
import { slice } from '../../../server/src/text/span.ts';
import { render } from './render.ts';
import { problems, shown } from './show.ts';

const tagsOf = (text: string): string[] => parse(text).tags.map((t) => `${t.kind} <${slice(text, t.inner)}>`);

describe('tags', () => {
  it.each([
    ['{{ a.b + 1 }}', 'value <a.b + 1>'],
    ['{{{a}}}', 'value <a>'],
    ['{{&a}}', 'value <a>'],
    ['{{!a {{b}}', 'comment <a {{b>'],
    ['{{# a > 1 }}', 'section <a > 1>'],
    ['{{ #a }}', 'section <a>'],
    ['{{^a}}', 'inverted <a>'],
    ['{{/}}', 'close <>'],
    ['{{/a}}', 'close <a>'],
    ['{{>part}}', 'partial <part>'],
    ['{{=<% %>=}}', 'delimiters <<% %>=>'],
    ['{{ !done }}', 'value <!done>'],
    ['{{a\n+ b}}', 'value <a\n+ b>'],
    ['{{}}', 'value <>'],
  ])('%j is a %s', (text, expected) => {
    expect(tagsOf(text)).toEqual([expected]);
    expect(parse(text).tags[0]?.closed).toBe(true);
  });

  it('are found in comments, free text and strings', () => {
    const text = '; {{a}} b\n(x {{b}})\nM117 {{c}}\nBASK N="{{d}}"\nM117 y {{e}}';
    expect(tagsOf(text)).toEqual(['value <a>', 'value <b>', 'value <c>', 'value <d>', 'value <e>']);
    expect(problems(text)).toEqual([]);
  });

  it('may run over rows: the line goes on behind them', () => {
    const tree = parse('G1 X{{ a\n + b }} Y5\nG28');
    expect(tree.lines.map((l) => [l.span.start, l.span.end])).toEqual([
      [0, 19],
      [20, 23],
    ]);
    expect(shown('G1 X{{ a\n + b }} Y5\nG28')).toEqual(['G1 X=[{{ a\n + b }}] Y=5', 'G28']);
  });

  it('give, or are part of, codes and words', () => {
    expect(shown('X{{a}}')).toEqual(['- X=[{{a}}]']);
    expect(shown('G1 X-{{a}} S2{{b}} Y{{a}}.5')).toEqual(['G1 X=[-|{{a}}] S=[2|{{b}}] Y=[{{a}}|.5]']);
    expect(shown('G1 {{a}} X {{b}}')).toEqual(['G1 =[{{a}}] X=[{{b}}]']);
    expect(shown('G{{a}} X5')).toEqual(['? X=5']);
    expect(shown('{{a}} X5')).toEqual(['? X=5']);
    expect(shown('T{{a}}')).toEqual(['T T=[{{a}}]']);
    expect(shown('N{{n}} G28')).toEqual(['G28']);
    expect(shown('BASK MINUTES={{a}}')).toEqual(['BASK MINUTES=[{{a}}]']);
    expect(shown('{{>head}}')).toEqual(['?']);
    expect(shown('{{a}}{{b}} X1')).toEqual(['? X=1']);
    expect(shown('G1 X1{{! one }} Y2')).toEqual(['G1 X=1 Y=2']);
  });

  it('that steer are no part of a value, unless it goes on behind them', () => {
    expect(shown('{{#a}}G1 X5{{/a}} Y2')).toEqual(['G1 X=5 Y=2']);
    expect(shown('G1 X{{#a}}1{{/a}}{{^a}}2{{/a}} Y5')).toEqual(['G1 X=[{{#a}}|1|{{/a}}|{{^a}}|2|{{/a}}] Y=5']);
    expect(shown('G28 X{{#a}}Y{{/a}}')).toEqual(['G28 X Y']);
    expect(shown('M104 S200{{#a}} T1{{/a}}')).toEqual(['M104 S=200 T=1']);
  });

  it.each([
    ['G1 X{{a Y5\nG28', 'unclosed-tag "{{a Y5"', ['G1 X=[{{a Y5]', 'G28']],
    ['G1 X{{a Y{{b}}', 'unclosed-tag "{{a Y"', ['G1 X=[{{a Y|{{b}}]']],
    ['G1 X{{a\nG1 Y{{b}}', 'unclosed-tag "{{a" -> "{{a}}"', ['G1 X=[{{a]', 'G1 Y=[{{b}}]']],
    ['G1 X{{a}', 'unclosed-tag "{{a}" -> "{{a}}"', ['G1 X=[{{a}]']],
    ['G1 X{{{a}} Y1', 'unclosed-tag "{{{a}}" -> "{{{a}}}"', ['G1 X=[{{{a}}] Y=1']],
    ['{{! a\r\nG28', 'unclosed-tag "{{! a" -> "{{! a}}"', ['', 'G28']],
  ])('without their end stop on their row: %j', (text, problem, lines) => {
    expect(problems(text)).toEqual([problem]);
    expect(shown(text)).toEqual(lines);
    expect(parse(text).tags[0]?.closed).toBe(false);
  });

  it('take other delimiters from where these are set', () => {
    expect(tagsOf('{{=<% %>=}}G1 X<%a%> {{b}} <%={{ }}=%>{{c}}')).toEqual([
      'delimiters <<% %>=>',
      'value <a>',
      'delimiters <{{ }}=>',
      'value <c>',
    ]);
    expect(problems('{{=a=}}')).toHaveLength(1);
  });
});

// Mustache specification 1.4.2, test data (MIT licence): files delimiters, comments, interpolation, sections, inverted.
describe('the cases of the Mustache specification', () => {
  it.each([
    ['delimiters: Pair Behavior', '{{=<% %>=}}(<%text%>)', { text: 'Hey!' }, '(Hey!)'],
    ['delimiters: Special Characters', '({{=[ ]=}}[text])', { text: 'It worked!' }, '(It worked!)'],
    [
      'delimiters: Sections',
      '[\n{{#section}}\n  {{data}}\n  |data|\n{{/section}}\n\n{{= | | =}}\n|#section|\n  {{data}}\n  |data|\n|/section|\n]\n',
      { section: true, data: 'I got interpolated.' },
      '[\n  I got interpolated.\n  |data|\n\n  {{data}}\n  I got interpolated.\n]\n',
    ],
    [
      'delimiters: Inverted Sections',
      '[\n{{^section}}\n  {{data}}\n  |data|\n{{/section}}\n\n{{= | | =}}\n|^section|\n  {{data}}\n  |data|\n|/section|\n]\n',
      { section: false, data: 'I got interpolated.' },
      '[\n  I got interpolated.\n  |data|\n\n  {{data}}\n  I got interpolated.\n]\n',
    ],
    ['delimiters: Surrounding Whitespace', '| {{=@ @=}} |', {}, '|  |'],
    ['delimiters: Standalone Line Endings', '|\r\n{{= @ @ =}}\r\n|', {}, '|\r\n|'],
    ['delimiters: Standalone Without Previous Line', '  {{=@ @=}}\n=', {}, '='],
    ['delimiters: Standalone Without Newline', '=\n  {{=@ @=}}', {}, '=\n'],
    ['delimiters: Pair with Padding', '|{{= @   @ =}}|', {}, '||'],
    ['comments: Inline', '12345{{! Comment Block! }}67890', {}, '1234567890'],
    ['comments: Multiline', '12345{{!\n  This is a\n  multi-line comment...\n}}67890\n', {}, '1234567890\n'],
    [
      'comments: Indented Multiline Standalone',
      "Begin.\n  {{!\n    Something's going on here...\n  }}\nEnd.\n",
      {},
      'Begin.\nEnd.\n',
    ],
    ['comments: Indented Inline', '  12 {{! 34 }}\n', {}, '  12 \n'],
    ['interpolation: Triple Mustache With Padding', '|{{{ string }}}|', { string: '---' }, '|---|'],
    ['interpolation: Ampersand With Padding', '|{{& string }}|', { string: '---' }, '|---|'],
    ['interpolation: Surrounding Whitespace', '| {{string}} |', { string: '---' }, '| --- |'],
    [
      'sections: Doubled',
      '{{#bool}}\n* first\n{{/bool}}\n* {{two}}\n{{#bool}}\n* third\n{{/bool}}\n',
      { bool: true, two: 'second' },
      '* first\n* second\n* third\n',
    ],
    ['sections: Nested (Truthy)', '| A {{#bool}}B {{#bool}}C{{/bool}} D{{/bool}} E |', { bool: true }, '| A B C D E |'],
    ['sections: Nested (Falsey)', '| A {{#bool}}B {{#bool}}C{{/bool}} D{{/bool}} E |', { bool: false }, '| A  E |'],
    [
      'sections: Internal Whitespace',
      ' | {{#boolean}} {{! Important Whitespace }}\n {{/boolean}} | \n',
      { boolean: true },
      ' |  \n  | \n',
    ],
    [
      'sections: Indented Standalone Lines',
      '| This Is\n  {{#boolean}}\n|\n  {{/boolean}}\n| A Line\n',
      { boolean: true },
      '| This Is\n|\n| A Line\n',
    ],
    ['sections: Padding', '|{{# boolean }}={{/ boolean }}|', { boolean: true }, '|=|'],
    [
      'inverted: Nested (Falsey)',
      '| A {{^bool}}B {{^bool}}C{{/bool}} D{{/bool}} E |',
      { bool: false },
      '| A B C D E |',
    ],
    [
      'inverted: Indented Inline Sections',
      ' {{^boolean}}NO{{/boolean}}\n {{^boolean}}WAY{{/boolean}}\n',
      { boolean: false },
      ' NO\n WAY\n',
    ],
    ['inverted: Padding', '|{{^ boolean }}={{/ boolean }}|', { boolean: false }, '|=|'],
  ] as const)('%s', (_, template, data, expected) => {
    expect(render(template, data)).toBe(expected);
  });
});

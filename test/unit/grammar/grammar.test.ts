import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { scopesOf } from './tokenize.ts';

const COMMAND = 'keyword.control.command';
const LETTER = 'variable.parameter.word';
const NUMBER = 'constant.numeric';
const BEGIN = 'punctuation.section.embedded.begin';
const END = 'punctuation.section.embedded.end';
const VALUE = 'meta.embedded.tag.value';

describe('the grammar colours', () => {
  it('commands and words, with blanks and without', async () => {
    const words = [
      `G -> ${COMMAND}`,
      `1 -> ${COMMAND}`,
      `X -> ${LETTER}`,
      `-10.5 -> ${NUMBER}`,
      `Y -> ${LETTER}`,
      `.5 -> ${NUMBER}`,
    ];
    expect(await scopesOf('G1 X-10.5 Y.5')).toEqual(words);
    expect(await scopesOf('G1X-10.5Y.5')).toEqual(words);
    expect(await scopesOf('G28 X Y')).toEqual([
      `G -> ${COMMAND}`,
      `28 -> ${COMMAND}`,
      `X -> ${LETTER}`,
      `Y -> ${LETTER}`,
    ]);
    expect(await scopesOf('g92.1')).toEqual([`g -> ${COMMAND}`, `92.1 -> ${COMMAND}`]);
    expect(await scopesOf('X10')).toEqual([`X -> ${LETTER}`, `10 -> ${NUMBER}`]);
  });

  it('a tool change at the beginning of a line, and T as a word elsewhere', async () => {
    expect(await scopesOf('T1')).toEqual([`T -> ${COMMAND}`, `1 -> ${NUMBER}`]);
    expect((await scopesOf('M104 T1')).slice(2)).toEqual([`T -> ${LETTER}`, `1 -> ${NUMBER}`]);
    expect((await scopesOf('T{{tool.number}}'))[0]).toBe(`T -> ${COMMAND}`);
  });

  it('line number and checksum', async () => {
    expect(await scopesOf('N10 M105*33')).toEqual([
      'N -> entity.name.label.line-number',
      '10 -> entity.name.label.line-number',
      `M -> ${COMMAND}`,
      `105 -> ${COMMAND}`,
      '* -> punctuation.separator.checksum',
      '33 -> constant.other.checksum',
    ]);
  });

  it('named commands with keys, values, strings and flags', async () => {
    const named = 'meta.command.named';
    expect(await scopesOf('STEEP_BED MINUTES=5 KIND=PLA NAME="a b" FAST ; wait')).toEqual([
      `STEEP_BED -> ${named} entity.name.function.command`,
      `MINUTES -> ${named} variable.parameter`,
      `= -> ${named} keyword.operator.assignment`,
      `5 -> ${named} ${NUMBER}`,
      `KIND -> ${named} variable.parameter`,
      `= -> ${named} keyword.operator.assignment`,
      `PLA -> ${named} string.unquoted.value`,
      `NAME -> ${named} variable.parameter`,
      `= -> ${named} keyword.operator.assignment`,
      `" -> ${named} string.quoted.double punctuation.definition.string.begin`,
      `a b -> ${named} string.quoted.double`,
      `" -> ${named} string.quoted.double punctuation.definition.string.end`,
      `FAST -> ${named} variable.parameter.flag`,
      '; -> comment.line.semicolon punctuation.definition.comment',
      'wait -> comment.line.semicolon',
    ]);
    expect((await scopesOf('N12 NEST Z=5'))[2]).toBe(`NEST -> ${named} entity.name.function.command`);
    expect((await scopesOf('{{#a}}NEST{{/a}}'))[3]).toBe(
      '}} -> meta.embedded.tag.section punctuation.section.embedded.end',
    );
    expect((await scopesOf('{{#a}}NEST{{/a}}'))[4]).toBe(`NEST -> ${named} entity.name.function.command`);
  });

  it('named commands in other forms, with hyphens in their names', async () => {
    const named = 'meta.command.named';
    const parts = [
      `warm-through -> ${named} entity.name.function.command`,
      `plate-side -> ${named} variable.parameter`,
      `: -> ${named} keyword.operator.assignment`,
      `60 -> ${named} ${NUMBER}`,
      `deep -> ${named} variable.parameter.flag`,
      `4 -> ${named} ${NUMBER}`,
      `S -> ${named} variable.parameter`,
      `-1.5 -> ${named} ${NUMBER}`,
    ];
    expect(await scopesOf('warm-through plate-side:60 deep 4 S-1.5')).toEqual(parts);
  });

  it('the free text of messages', async () => {
    expect(await scopesOf('M117 Heating X5 (bed)')).toEqual([
      `M -> ${COMMAND}`,
      `117 -> ${COMMAND}`,
      'Heating X5 (bed) -> string.unquoted.message',
    ]);
    expect((await scopesOf('M1170 X5')).at(-1)).toBe(`5 -> ${NUMBER}`);
  });

  it('both kinds of comment, and commands behind the one in parentheses', async () => {
    expect(await scopesOf('G1 (left X5) Y2')).toEqual([
      `G -> ${COMMAND}`,
      `1 -> ${COMMAND}`,
      '( -> comment.block.parenthesis punctuation.definition.comment.begin',
      'left X5 -> comment.block.parenthesis',
      ') -> comment.block.parenthesis punctuation.definition.comment.end',
      `Y -> ${LETTER}`,
      `2 -> ${NUMBER}`,
    ]);
    expect((await scopesOf('(open\nG28')).at(-1)).toBe(`28 -> ${COMMAND}`);
  });

  it('tags with their expressions', async () => {
    expect(await scopesOf('{{ max(bed.left, 5) * 2 >= a ? "x" : \'y\' }}')).toEqual([
      `{{ -> ${VALUE} ${BEGIN}`,
      `max -> ${VALUE} support.function`,
      `( -> ${VALUE} punctuation.parenthesis`,
      `bed.left -> ${VALUE} variable.other.placeholder`,
      `, -> ${VALUE} punctuation.separator.comma`,
      `5 -> ${VALUE} ${NUMBER}`,
      `) -> ${VALUE} punctuation.parenthesis`,
      `* -> ${VALUE} keyword.operator.arithmetic`,
      `2 -> ${VALUE} ${NUMBER}`,
      `>= -> ${VALUE} keyword.operator.comparison`,
      `a -> ${VALUE} variable.other.placeholder`,
      `? -> ${VALUE} keyword.operator.ternary`,
      `" -> ${VALUE} string.quoted.expression punctuation.definition.string.begin`,
      `x -> ${VALUE} string.quoted.expression`,
      `" -> ${VALUE} string.quoted.expression punctuation.definition.string.end`,
      `: -> ${VALUE} keyword.operator.ternary`,
      `' -> ${VALUE} string.quoted.expression punctuation.definition.string.begin`,
      `y -> ${VALUE} string.quoted.expression`,
      `' -> ${VALUE} string.quoted.expression punctuation.definition.string.end`,
      `}} -> ${VALUE} ${END}`,
    ]);
  });

  it('tags inside words, comments, messages and strings', async () => {
    const tag = (outer: string) => [
      `{{ -> ${outer}${VALUE} ${BEGIN}`,
      `a -> ${outer}${VALUE} variable.other.placeholder`,
      `}} -> ${outer}${VALUE} ${END}`,
    ];
    expect((await scopesOf('G1 X{{a}}')).slice(3)).toEqual(tag(''));
    expect((await scopesOf('; b {{a}} c')).slice(2)).toEqual([
      ...tag('comment.line.semicolon '),
      'c -> comment.line.semicolon',
    ]);
    expect((await scopesOf('({{a}})')).slice(1, 4)).toEqual(tag('comment.block.parenthesis '));
    expect((await scopesOf('M117 {{a}}')).slice(2)).toEqual(tag('string.unquoted.message '));
    expect((await scopesOf('G1 P"{{a}}"')).slice(4, 7)).toEqual(tag('string.quoted.double '));
    expect((await scopesOf('BASK T={{a}}')).slice(3)).toEqual(tag('meta.command.named '));
  });

  it('a tag over rows, and goes on with the line behind it', async () => {
    expect(await scopesOf('G1 X{{ a\n+ b }} Y5\nG28')).toEqual([
      `G -> ${COMMAND}`,
      `1 -> ${COMMAND}`,
      `X -> ${LETTER}`,
      `{{ -> ${VALUE} ${BEGIN}`,
      `a -> ${VALUE} variable.other.placeholder`,
      `+ -> ${VALUE} keyword.operator.arithmetic`,
      `b -> ${VALUE} variable.other.placeholder`,
      `}} -> ${VALUE} ${END}`,
      `Y -> ${LETTER}`,
      `5 -> ${NUMBER}`,
      `G -> ${COMMAND}`,
      `28 -> ${COMMAND}`,
    ]);
  });

  it('sections, comments, partials and delimiters', async () => {
    expect(await scopesOf('{{#a}}{{^b}}{{/}}')).toEqual(
      [
        ['#', 'a'],
        ['^', 'b'],
        ['/', ''],
      ].flatMap(([mark, name]) => [
        `{{ -> meta.embedded.tag.section ${BEGIN}`,
        `${mark} -> meta.embedded.tag.section keyword.control.section`,
        ...(name ? [`${name} -> meta.embedded.tag.section variable.other.placeholder`] : []),
        `}} -> meta.embedded.tag.section ${END}`,
      ]),
    );
    expect((await scopesOf('{{! G28\n X5 }}G28')).map((s) => s.split(' -> ')[1]?.split(' ')[0])).toEqual([
      ...Array(4).fill('comment.block.tag'),
      COMMAND,
      COMMAND,
    ]);
    expect((await scopesOf('{{>head}}'))[2]).toBe('head -> meta.embedded.tag.partial entity.name.import');
    expect((await scopesOf('{{=<% %>=}}'))[2]).toBe('<% -> meta.tag.delimiters constant.other.delimiter');
    expect((await scopesOf('{{{a}}}'))[2]).toBe(`}}} -> ${VALUE} ${END}`);
  });

  it('a tag without its end only up to the next one', async () => {
    expect((await scopesOf('G1 X{{a\nG1 Y{{b}}\nG28')).slice(-2)).toEqual([`G -> ${COMMAND}`, `28 -> ${COMMAND}`]);
  });

  it('look-alikes as wrong, outside of comments only', async () => {
    expect(await scopesOf('\u2212')).toEqual(['\u2212 -> invalid.illegal.look-alike']);
    expect((await scopesOf('G1 X\u22125'))[3]).toBe('\u2212 -> invalid.illegal.look-alike');
    expect((await scopesOf('; \u2212')).some((s) => s.includes('invalid'))).toBe(false);
  });
});

describe('language-configuration.json', () => {
  const file = new URL('../../../language-configuration.json', import.meta.url);
  const configuration = JSON.parse(readFileSync(file, 'utf8'));

  it('sets words apart as a person would select them', () => {
    const words = (text: string) => text.match(new RegExp(configuration.wordPattern.pattern, 'g'));
    expect(words('G28 X10.5 Y-7')).toEqual(['G28', 'X10.5', 'Y-7']);
    expect(words('G1X10Y20')).toEqual(['G1', 'X10', 'Y20']);
    expect(words('STEEP_BED MINUTES=5')).toEqual(['STEEP_BED', 'MINUTES', '5']);
    expect(words('X{{ heat.bed.first + 5 }}')).toEqual(['X', 'heat.bed.first', '5']);
    expect(''.match(new RegExp(configuration.wordPattern.pattern))).toBeNull();
  });

  it('comments with a semicolon and closes tags', () => {
    expect(configuration.comments.lineComment).toBe(';');
    expect(configuration.autoClosingPairs).toContainEqual({ open: '{{', close: '}}' });
  });

  it('folds sections', () => {
    const { start, end } = configuration.folding.markers;
    expect(new RegExp(start).test('  {{#a}}')).toBe(true);
    expect(new RegExp(start).test('{{a}}')).toBe(false);
    expect(new RegExp(end).test('{{/a}}')).toBe(true);
  });
});

import { expect, it } from 'vitest';
import { fill } from '../../../../server/src/placeholders/fill.ts';
import { languageFor } from '../../../../server/src/placeholders/languageFor.ts';
import { tagStyleOf } from '../../../../server/src/placeholders/vocabulary.ts';
import { parse } from '../../../../server/src/syntax/parse.ts';
import { readVocabulary } from '../../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../../server/src/vocabulary/vocabulary.ts';

// From a vocabulary file to the text that is filled in: signs that take white space away, escapes, stretches copied as
// they are, comments in ends of their own. What comes out is worked out by hand.

const file = readVocabulary(
  JSON.stringify({
    delimiters: [
      ['{{', '}}'],
      ['{%', '%}', 'statements'],
      ['{#', '#}', 'comments'],
    ],
    trims: ['-'],
    escapes: { '{{{{': '{{' },
    raw: [['{% as is %}', '{% as read %}']],
    keywords: { if: 'if', else: 'else', end: 'end' },
    names: { plate: { kind: 'temperature', range: [0, 90] }, quick: { kind: 'flag' } },
  }),
);
const vocabulary = vocabularyFor(null, file.vocabulary);

const filled = (text: string) => {
  const language = languageFor(vocabulary);
  const tree = parse(text, { tags: tagStyleOf(vocabulary) });
  return fill(tree, { plate: 55, quick: false }, language ? { language } : {});
};

it('reads the vocabulary', () => {
  expect(file.problems).toEqual([]);
});

it.each<[string, string, string]>([
  ['a sign takes the blanks before a tag', 'M140 S {{- plate }}\n', 'M140 S55\n'],
  ['a sign takes the line end behind a tag', 'M140 S{{ plate -}}\n ; set\n', 'M140 S55; set\n'],
  ['an escape gives the sign itself', 'M117 {{{{ and {{ plate }}\n', 'M117 {{ and 55\n'],
  ['a comment goes, with its row', '{# {{ old }} #}\nG28\n', 'G28\n'],
  ['a branch that is left out takes its rows along', 'G28\n{%- if quick %}\nM0\n{%- end %}\nM84\n', 'G28\nM84\n'],
])('%s', (_, text, expected) => {
  const { text: found, problems } = filled(text);
  expect(problems).toEqual([]);
  expect(found).toBe(expected);
});

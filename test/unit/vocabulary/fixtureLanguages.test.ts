import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { FORM, LANGUAGES } from './support.ts';

// Invented placeholder languages: a text in each, the vocabulary that describes it, a job, and what the language would
// give for it, worked out by hand. With the vocabulary the text has no finding of form, and is filled in to just that.

it('there are enough of them', () => {
  expect(LANGUAGES.length).toBeGreaterThan(30);
  expect(LANGUAGES.filter(([, { vocabulary }]) => vocabulary === undefined)).toEqual([]);
  expect(FORM.size).toBeGreaterThan(15);
});

describe.each(LANGUAGES)('%s', (_, { vocabulary = '', text = '', job = '', filled = '' }) => {
  const read = readVocabulary(vocabulary);
  const names = vocabularyFor(null, read.vocabulary);
  const analysis = analyze(text, 'start', null, names);

  it('its vocabulary loads', () => {
    expect(read.problems.filter(({ severity }) => severity === 'error')).toEqual([]);
  });

  it('the text has no finding of form', () => {
    expect(analysis.findings.filter(({ rule }) => FORM.has(rule)).map(({ message }) => message)).toEqual([]);
  });

  it('it is filled in as the language would', () => {
    const given = fillIn(analysis, names, JSON.parse(job), false);
    expect(given.problems.map(({ message }) => message)).toEqual([]);
    expect(given.text).toBe(filled);
  });
});

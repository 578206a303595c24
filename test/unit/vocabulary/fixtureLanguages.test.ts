import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyze } from '../../../server/src/service/analyze.ts';
import { fillIn } from '../../../server/src/service/fillIn.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { FORM } from './support.ts';

// Invented placeholder languages: a text in each, the vocabulary that describes it, a job, and what the language would
// give for it, worked out by hand. With the vocabulary the text has no finding of form, and is filled in to just that.

const FOLDER = new URL('../../fixtures/languages/', import.meta.url);

/** The parts of a fixture, by their headings. */
const partsOf = (name: string): Readonly<Record<string, string>> => {
  const parts = readFileSync(new URL(name, FOLDER), 'utf8').split(/^=== /m).slice(1);
  return Object.fromEntries(parts.map((part) => part.split(/\n([\s\S]*)/, 2) as [string, string]));
};

const all = readdirSync(FOLDER).map((name) => [name.replace('.txt', ''), partsOf(name)] as const);

it('there are enough of them', () => {
  expect(all.length).toBeGreaterThan(30);
  expect(all.filter(([, { vocabulary }]) => vocabulary === undefined)).toEqual([]);
  expect(FORM.size).toBeGreaterThan(15);
});

describe.each(all)('%s', (_, { vocabulary = '', text = '', job = '', filled = '' }) => {
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

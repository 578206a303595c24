import { describe, expect, it } from 'vitest';
import { confirmed, draftOf, ECMA, LANGUAGES, loaded, used } from './support.ts';

// Invented placeholder languages: each text is all that the draft is given. The draft loads without a finding, with it
// the text has no finding of form, and once its questions are answered as the language has it, a job fills the text in as
// the language would (worked out by hand).

/** Those that a vocabulary file can describe. */
const described = LANGUAGES.filter(([, parts]) => parts.vocabulary !== undefined);

it('there are enough of them', () => {
  expect(described.length).toBeGreaterThanOrEqual(27);
});

describe.each(described)('%s', (_, { vocabulary = '', text = '', job = '', filled = '' }) => {
  const stated = JSON.parse(vocabulary) as { rules?: object; expressions?: object };
  const wanted = { ...ECMA, ...stated.expressions, ...stated.rules };

  it('the draft loads without a finding, and with it the text has no finding of form', () => {
    const draft = draftOf(text);
    loaded(draft);
    expect(used(draft, text, {}).form).toEqual([]);
  });

  it('answered and confirmed, it fills the text in as the language would', () => {
    const draft = confirmed([text], wanted);
    expect(draft).not.toMatch(/\/\/ (guess|ask|answer):/);
    expect(used(draft, text, JSON.parse(job))).toEqual({ form: [], problems: [], text: filled });
  });
});

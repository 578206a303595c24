import { RULES } from '../../../server/src/rules/all.ts';
import { subjectOf } from '../../../server/src/rules/pages/all.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';

/** The marked text and message of each problem of a vocabulary file. */
export const told = (text: string): [string, string][] =>
  readVocabulary(text).problems.map(({ span, message }) => [text.slice(span.start, span.end), message]);

/** What a vocabulary file of this content says, and its problems. */
export const read = (content: object) => {
  const { vocabulary, problems } = readVocabulary(JSON.stringify(content));
  if (!vocabulary) throw new Error('no vocabulary');
  return { ...vocabulary, problems };
};

/** Rules about how a text and its placeholders are written. */
export const FORM: ReadonlySet<string> = new Set(
  RULES.filter((rule) => /Text|Placeholders/.test(subjectOf(rule) ?? '')).map(({ id }) => id),
);

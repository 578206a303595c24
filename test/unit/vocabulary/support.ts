import { readdirSync, readFileSync } from 'node:fs';
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

const FOLDER = new URL('../../fixtures/languages/', import.meta.url);

/** The parts of each fixture of an invented language, by their headings. */
export const LANGUAGES = readdirSync(FOLDER).map((name) => {
  const parts = readFileSync(new URL(name, FOLDER), 'utf8').split(/^=== /m).slice(1);
  const named = Object.fromEntries(parts.map((part) => part.split(/\n([\s\S]*)/, 2) as [string, string]));
  return [name.replace('.txt', ''), named as Readonly<Record<string, string>>] as const;
});

import { once } from '../text/once.ts';
import { type Language, languageOf } from './language.ts';
import type { Vocabulary } from './vocabulary.ts';

/** How the expressions of a vocabulary are read: with its declared names; undefined where it has no language of its own. */
export const languageFor = once(({ grammar, names }: Vocabulary): Language | undefined =>
  grammar
    ? languageOf(
        grammar,
        [...names.values()].filter(({ hidden }) => !hidden).map(({ name }) => name),
      )
    : undefined,
);

import type { StatementKind } from '../syntax/tagStyle.ts';
import { once } from '../text/once.ts';
import { type Language, languageOf } from './language.ts';
import { OUR_RULES, OURS } from './ours.ts';
import type { Vocabulary } from './vocabulary.ts';

/** How the expressions of a vocabulary are read: with its declared names; undefined where it has no language of its own. */
export const languageFor = once(({ grammar, language, names }: Vocabulary): Language | undefined => {
  // Who sets names or goes through lists in words of its own reads expressions by its own names too.
  const steers = language?.statements.some(({ is }) => OF_ITS_OWN.has(is)) ?? false;
  if (!grammar && !steers) return undefined;
  const own = [...names.values()].filter(({ hidden }) => !hidden).map(({ name }) => name);
  return languageOf(grammar ?? { ...OURS, rules: OUR_RULES }, own);
});

/** Statements that the marks of the Mustache specification have nothing for. */
const OF_ITS_OWN: ReadonlySet<StatementKind> = new Set(['each', 'switch', 'case', 'set', 'unless']);

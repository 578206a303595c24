import type { Walk } from '../machineFile/walk.ts';
import type { Grammar } from '../placeholders/grammar.ts';
import { OURS } from '../placeholders/ours.ts';
import type { TagLanguage } from '../syntax/tagStyle.ts';
import type { VocabularyRoot } from './schema.ts';
import { soundStatements } from './statements.ts';
import { soundEscapes, soundLineMarks, soundPairs, soundRaw, soundTrims } from './tags.ts';

type Given = Pick<
  Partial<VocabularyRoot>,
  'delimiters' | 'keywords' | 'lineStatements' | 'escapes' | 'raw' | 'trims' | 'expressions'
>;

/**
 * How a file's language writes its tags and steers with them: what of it can be used together. null where the file says
 * nothing of it.
 * @param names Names of the file.
 */
export function soundLanguage(
  walk: Walk,
  file: Given,
  grammar: Grammar | null,
  names: ReadonlySet<string>,
): TagLanguage | null {
  const { quotes } = grammar ?? OURS;
  // Of a language of its own only what its file states is known to be written: the rest is lent, and nobody misses it.
  const stated = Object.values(file.expressions?.operators ?? {}).flat();
  const signs = new Set(grammar ? stated : OURS.operators.map(({ written }) => written));
  // The choice of Bookend's own expressions has signs too.
  if (!grammar) for (const sign of '?:') signs.add(sign);
  const pairs = soundPairs(walk, file.delimiters, (sign) => signs.has(sign));
  const lineMarks = soundLineMarks(walk, file.lineStatements);
  const statements = soundStatements(walk, file.keywords, { pairs, lineMarks, names });
  const escapes = soundEscapes(walk, file.escapes, pairs);
  const raw = soundRaw(walk, file.raw, pairs);
  const trims = soundTrims(walk, file.trims, pairs);
  const says = [file.delimiters, file.lineStatements, file.keywords, file.escapes, file.raw, file.trims];
  if (says.every((one) => one === undefined) && !grammar?.formatsBehind.length) return null;
  const formats = grammar?.formatsBehind ?? [];
  const tags: TagLanguage = { pairs, lineMarks, escapes, raw, trims, statements, quotes };
  return formats.length > 0 ? { ...tags, formatsBehind: formats } : tags;
}

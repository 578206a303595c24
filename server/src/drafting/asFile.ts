import type { Grammar } from '../placeholders/grammar.ts';
import type { StatementForm, TagLanguage } from '../syntax/tagStyle.ts';
import { MUSTACHE } from '../syntax/tagStyle.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { expressionsPart, type WrittenForms } from './written.ts';

// What was found is read as a vocabulary file would be, so that the draft is judged by what it says and by nothing else.

/** How tags are written, as properties of the file. */
export function tagParts({
  pairs,
  lineMarks,
  escapes,
  trims,
  statements,
}: TagLanguage): Readonly<Record<string, unknown>> {
  return {
    ...(pairs.length > 0 ? { delimiters: pairs.map(({ open, close, holds }) => pairPart(open, close, holds)) } : {}),
    ...(lineMarks.length > 0 ? { lineStatements: lineMarks } : {}),
    ...(escapes.length > 0
      ? { escapes: Object.fromEntries(escapes.map(({ written, gives }) => [written, gives])) }
      : {}),
    ...(trims.length > 0 ? { trims } : {}),
    ...(statements.length > 0 ? { keywords: keywordsPart(statements) } : {}),
  };
}

/** A pair as the file has it. */
export const pairPart = (open: string, close: string, holds: TagLanguage['pairs'][0]['holds']): readonly string[] =>
  holds === 'anything' ? [open, close] : [open, close, holds];

function keywordsPart(statements: readonly StatementForm[]): Readonly<Record<string, readonly string[]>> {
  const part: Record<string, string[]> = {};
  for (const { is, form } of statements) {
    part[is] ??= [];
    part[is].push(form);
  }
  return part;
}

/** The language of a file that says this. */
export function languageOfFile(
  tags: TagLanguage,
  written: WrittenForms,
  firstIndex: 0 | 1 | null = null,
): { readonly tags: TagLanguage; readonly grammar: Grammar } {
  const expressions = expressionsPart(written, firstIndex);
  const file = { ...tagParts(tags), expressions: expressions ?? {}, rules: {} };
  const { vocabulary } = readVocabulary(JSON.stringify(file));
  return { tags: vocabulary?.language ?? MUSTACHE, grammar: vocabulary?.grammar as Grammar };
}

/** The grammar of a file with these expressions. */
export const grammarOf = (written: WrittenForms): Grammar => languageOfFile(MUSTACHE_ALONE, written).grammar;

const MUSTACHE_ALONE: TagLanguage = { ...MUSTACHE, pairs: [] };

import type { Command, Line, Tree, Word, WordValue } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { type Span, slice } from '../../../server/src/text/span.ts';

/** Writes a value down for comparison: `5`, `'text'`, `[-|{{a}}]` (filled), `bad(1.2.3)`; '' for a flag. */
export function showValue(text: string, value: WordValue | null): string {
  if (!value) return '';
  if (value.type === 'number') return String(value.number);
  if (value.type === 'string') return `'${value.text}'`;
  if (value.type === 'bad') return `bad(${slice(text, value.span)})`;
  const spans: readonly Span[] = value.parts.map((part) => ('span' in part ? part.span : part));
  return `[${spans.map((s) => slice(text, s)).join('|')}]`;
}

const showWord = (text: string, word: Word): string =>
  word.value ? `${word.key}=${showValue(text, word.value)}` : word.key;

/** `G1 X=10 Y`; the free text stands in <>; an unknown code is `?`. */
export function showCommand(text: string, command: Command): string {
  const free = command.freeText ? [`<${slice(text, command.freeText)}>`] : [];
  const code = command.code === null ? '?' : command.code === '' ? '-' : command.code;
  return [code, ...command.words.map((w) => showWord(text, w)), ...free].join(' ');
}

export const showLine = (text: string, line: Line): string =>
  line.commands.map((c) => showCommand(text, c)).join(' / ');

/** The commands of every line. */
export const shown = (text: string): string[] => parse(text).lines.map((l) => showLine(text, l));

/** `kind "text" -> replacement` of every problem. */
export const problemsOf = (tree: Tree): string[] =>
  tree.problems.map(
    (p) => `${p.kind} "${slice(tree.text, p.span)}"${p.replacement === undefined ? '' : ` -> "${p.replacement}"`}`,
  );

export const problems = (text: string): string[] => problemsOf(parse(text));

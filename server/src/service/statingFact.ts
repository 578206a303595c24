import { modify } from 'jsonc-parser';
import { readJson } from '../machineFile/json.ts';
import type { Edit } from '../rules/rule.ts';

/**
 * The edits of a machine file's text that state one fact in it, its comments kept. None where the file cannot be read, or
 * says so already.
 * @param path The keys that lead to it: `['rules', 'off-bed']`, `['controller', 'dwell']`.
 */
export function statingFact(text: string, path: readonly string[], value: string | number | boolean): readonly Edit[] {
  const { root, faults } = readJson(text);
  if (root?.type !== 'object' || faults.length > 0) return [];
  const indent = /\n([ \t]+)"/.exec(text)?.[1] ?? '  ';
  const formattingOptions = {
    insertSpaces: !indent.startsWith('\t'),
    tabSize: indent.startsWith('\t') ? 1 : indent.length,
    eol: text.includes('\r\n') ? '\r\n' : '\n',
  };
  return modify(text, [...path], value, { formattingOptions })
    .map(({ offset, length, content }) => ({ span: { start: offset, end: offset + length }, text: content }))
    .filter(({ span, text: made }) => text.slice(span.start, span.end) !== made);
}

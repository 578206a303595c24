import { modify } from 'jsonc-parser';
import type { RuleSeverity } from '../machine/machine.ts';
import { readJson } from '../machineFile/json.ts';
import type { Edit } from '../rules/rule.ts';

/**
 * The edits of a machine file's text that set how a rule counts, its comments kept. None where the file cannot be read,
 * or says so already.
 */
export function ruleSeverityEdit(text: string, rule: string, severity: RuleSeverity): readonly Edit[] {
  const { root, faults } = readJson(text);
  if (root?.type !== 'object' || faults.length > 0) return [];
  const indent = /\n([ \t]+)"/.exec(text)?.[1] ?? '  ';
  const formattingOptions = {
    insertSpaces: !indent.startsWith('\t'),
    tabSize: indent.startsWith('\t') ? 1 : indent.length,
    eol: text.includes('\r\n') ? '\r\n' : '\n',
  };
  return modify(text, ['rules', rule], severity, { formattingOptions })
    .map(({ offset, length, content }) => ({ span: { start: offset, end: offset + length }, text: content }))
    .filter(({ span, text: made }) => text.slice(span.start, span.end) !== made);
}

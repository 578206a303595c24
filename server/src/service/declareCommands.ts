import type { Node } from 'jsonc-parser';
import { readJson, soleValue } from '../machineFile/json.ts';
import { readMachine } from '../machineFile/load.ts';
import { changeBetween, type Edit } from '../text/edit.ts';
import type { DraftedCommand } from './draftCommands.ts';

/**
 * The one change of a machine file that declares these commands behind those it has; everything else in it stays,
 * comments included. null: the file cannot be added to (it is broken, or its "commands" is no list), or would have
 * errors that it has not now.
 */
export function declareCommands(file: string, commands: readonly DraftedCommand[]): Edit | null {
  const { root, faults } = readJson(file);
  if (root?.type !== 'object' || faults.length > 0 || commands.length === 0) return null;
  const list = soleValue(root, 'commands');
  if (list === null || (list && list.type !== 'array')) return null;
  const style = styleIn(file);
  const text = list
    ? added(file, list, commands.map((one) => JSON.stringify(one, null, style.unit)).join(',\n'), style)
    : added(file, root, `"commands": ${JSON.stringify(commands, null, style.unit)}`, style);
  const errors = (one: string): number => readMachine(one).problems.filter((p) => p.severity === 'error').length;
  return errors(text) > errors(file) ? null : changeBetween(file, text);
}

/** How a JSON file is written. */
interface Style {
  readonly eol: string;
  readonly unit: string;
}

export const styleIn = (file: string): Style => ({
  eol: file.includes('\r\n') ? '\r\n' : '\n',
  unit: /^(\t| +)\S/m.exec(file)?.[1] ?? '  ',
});

/** The text with JSON put in at the end of a list or an object, behind the comments that stand there. */
export function added(text: string, into: Node, json: string, { eol, unit }: Style): string {
  const last = into.children?.at(-1);
  const close = into.offset + into.length - 1;
  const from = last ? last.offset + last.length : into.offset + 1;
  const tail = text.slice(from, close);
  const outer = indentAt(text, into.offset);
  // As what stands there already is indented, where it begins its row.
  const inner = last && /^[ \t]*$/.test(rowUpTo(text, last.offset)) ? indentAt(text, last.offset) : outer + unit;
  const rows = json.split('\n').join(eol + inner);
  const comma = last && !hasComma(tail) ? ',' : '';
  return `${text.slice(0, from)}${comma}${tail.trimEnd()}${eol}${inner}${rows}${eol}${outer}${text.slice(close)}`;
}

const rowUpTo = (text: string, at: number): string => text.slice(text.lastIndexOf('\n', at - 1) + 1, at);
const indentAt = (text: string, at: number): string => /^[ \t]*/.exec(rowUpTo(text, at))?.[0] ?? '';

/** Whether a comma stands among the blanks and comments behind the last value. */
const hasComma = (tail: string): boolean => tail.replace(/\/\/[^\r\n]*|\/\*[\s\S]*?\*\//g, '').includes(',');

import type { Node } from 'jsonc-parser';
import { readJson, soleValue } from '../machineFile/json.ts';
import { changeBetween, type Edit } from '../text/edit.ts';
import { span } from '../text/span.ts';
import { added, styleIn } from './declareCommands.ts';

/**
 * The edits of a machine file's text that state one fact in it; all else in it stays as it is written. None where the file
 * cannot be read, holds something else in that place, or says so already.
 * @param path The keys that lead to it: `['rules', 'off-bed']`, `['controller', 'dwell']`.
 */
export function statingFact(
  text: string,
  [group, key]: readonly [group: string, key: string],
  value: string | number | boolean,
): readonly Edit[] {
  const { root, faults } = readJson(text);
  if (root?.type !== 'object' || faults.length > 0) return [];
  const json = JSON.stringify(value);
  const into = soleValue(root, group);
  if (into === undefined) return changed(text, added(text, root, `"${group}": { "${key}": ${json} }`, styleIn(text)));
  if (into?.type !== 'object') return [];
  const now = soleValue(into, key);
  if (now === undefined) return changed(text, inRowOf(text, into, `"${key}": ${json}`));
  if (now === null || text.slice(now.offset, now.offset + now.length) === json) return [];
  return [{ span: span(now.offset, now.offset + now.length), text: json }];
}

function changed(before: string, after: string): readonly Edit[] {
  const change = changeBetween(before, after);
  return change ? [change] : [];
}

/** The text with one more property in an object: on its row where the whole object stands on one. */
function inRowOf(text: string, into: Node, json: string): string {
  const close = into.offset + into.length - 1;
  const inside = text.slice(into.offset + 1, close);
  if (/[\r\n/]/.test(inside)) return added(text, into, json, styleIn(text));
  const before = inside.trimEnd();
  const comma = before === '' || before.endsWith(',') ? '' : ',';
  return `${text.slice(0, into.offset + 1)}${before}${comma} ${json} ${text.slice(close)}`;
}

import { findNodeAtLocation, type Node } from 'jsonc-parser';
import { normalCode } from '../commands/named.ts';
import { readJson } from '../machineFile/json.ts';
import { spanOf } from '../machineFile/walk.ts';
import { commandAt, lineAt } from '../syntax/at.ts';
import { type Span, touches } from '../text/span.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import type { Analysis } from './analyze.ts';
import { boundOf } from './steps.ts';
import { useAt } from './uses.ts';

/** What stands at a place and is declared in another file. */
export type Declared =
  | { readonly what: 'placeholder'; readonly name: string; readonly span: Span }
  | { readonly what: 'command'; readonly code: string; readonly span: Span };

/** The placeholder name or the machine's own command at an offset; null for everything else. */
export function declaredAt(a: Analysis, offset: number): Declared | null {
  if (!(offset >= 0 && offset <= a.tree.text.length)) return null;
  const use = useAt(a, offset);
  if (use) return { what: 'placeholder', name: use.key, span: use.span };
  const line = lineAt(a.tree, offset);
  const node = commandAt(line, offset);
  if (!node || !touches(node.codeSpan, offset)) return null;
  const code = boundOf(a, line, node)?.code ?? node.code ?? '';
  const own = a.machine?.commands.some((command) => normalCode(command.name) === code) ?? false;
  return own ? { what: 'command', code, span: node.codeSpan } : null;
}

/** Where a machine file says what a built-in name is taken from; null where it says nothing of it. */
export function factPlace(machineText: string, name: string): Span | null {
  const { root } = readJson(machineText);
  if (!root) return null;
  const path = name.split('.');
  const paths = [path, path.slice(0, -1), path.slice(0, 1)];
  // Without a reach of its own the nozzle travels over the bed, which says nothing of heights.
  const flat = name !== 'reach.top' && name !== 'reach.bottom';
  if (path[0] === 'reach' && flat && !nodeAt(root, ['reach'])) paths.push(['bed', ...path.slice(1)], ['bed']);
  for (const one of paths) {
    const node = one.length > 0 ? nodeAt(root, one) : undefined;
    if (node) return keySpan(node);
  }
  return null;
}

/** Where a machine file declares a command of its own: its name there. */
export function commandPlace(machineText: string, code: string): Span | null {
  const { root } = readJson(machineText);
  const list = root ? findNodeAtLocation(root, ['commands']) : undefined;
  for (const item of list?.type === 'array' ? (list.children ?? []) : []) {
    const name = item.type === 'object' ? findNodeAtLocation(item, ['name']) : undefined;
    if (name?.type === 'string' && normalCode(String(name.value)) === code) return spanOf(name);
  }
  return null;
}

/** Where a vocabulary file declares a name, without quotation marks; null where it does not. */
export function namePlace(vocabularyText: string, name: string): Span | null {
  const declared = readVocabulary(vocabularyText).vocabulary?.names.find((one) => one.name === name);
  return declared ? unquoted(vocabularyText, declared.span) : null;
}

/** The span of a JSON text without its quotation marks. */
export function unquoted(text: string, { start, end }: Span): Span {
  return text.charAt(start) === '"' && end - start >= 2 ? { start: start + 1, end: end - 1 } : { start, end };
}

/** The value at a path of properties; of one that stands twice the last, which is the one that is read. */
function nodeAt(root: Node, path: readonly string[]): Node | undefined {
  let node: Node | undefined = root;
  for (const name of path) {
    const given: readonly Node[] = node?.type === 'object' ? (node.children ?? []) : [];
    node = given.filter(({ children }) => children?.[0]?.value === name).at(-1)?.children?.[1];
  }
  return node;
}

/** The name of the property: a whole object is no place to jump to. */
function keySpan(node: Node): Span {
  const key = node.parent?.type === 'property' ? node.parent.children?.[0] : undefined;
  return key ? spanOf(key) : spanOf(node);
}

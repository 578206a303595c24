import type { BoundLines } from '../commands/bind.ts';
import { between, closedBy, lineAt, openedBy } from '../syntax/at.ts';
import type { Line } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import { eolOf, indentOf } from './edits.ts';
import type { Edit, View } from './rule.ts';

/** A line of several commands, written as one command a line. */
export interface OwnLines {
  readonly edits: readonly Edit[];
  /** They run in the order and with the words in which they stood on the one line. */
  readonly same: boolean;
}

/**
 * Puts each command of a line on a line of its own, in the order in which they run (NISTIR 6556 Table 8) and with the
 * words that they take. null where tags, a number, a checksum or comments stand between them.
 */
export function onOwnLines(view: View, offset: number): OwnLines | null {
  const line = lineAt(view.tree, offset);
  const made = madeIn(view.bound);
  const known = made.get(line);
  if (known !== undefined) return known;
  const own = ownLines(view, line);
  made.set(line, own);
  return own;
}

/** A long line may have a finding at each of its commands, and the answer is the same for all. */
const madeIn = once((_: BoundLines) => new Map<Line, OwnLines | null>());

function ownLines({ tree, bound }: View, line: Line): OwnLines | null {
  const commands = bound.on(line);
  const { text } = tree;
  const [first] = line.commands;
  const last = line.commands.at(-1);
  if (!first || !last || commands.length !== line.commands.length || !isPlain(line, last.span.end)) return null;
  const content: Span = {
    start: first.span.start,
    end: line.commands.reduce((end, { span }) => Math.max(end, span.end), 0),
  };
  if (
    between(tree.tags, line.span).some(
      (tag) => overlaps(tag.span, line.span) && (openedBy(tree, tag) ?? closedBy(tree, tag)),
    )
  )
    return null;
  // Two with the same node, or free text among them: who has what is not plain.
  if (new Set(commands.map(({ node }) => node)).size < commands.length) return null;
  const rows = commands.map(({ node, words }) => {
    const own = words.filter(({ span }) => span.start >= node.codeSpan.end || span.end <= node.codeSpan.start);
    const parts = [node.codeSpan, ...own.map(({ span }) => span), ...(node.freeText ? [node.freeText] : [])];
    return parts.map((part) => slice(text, part)).join(' ');
  });
  const same = commands.every(
    ({ node, words }, i) =>
      node === line.commands[i] && words.length === node.words.length && words.every((w, n) => w === node.words[n]),
  );
  return { edits: [{ span: content, text: rows.join(eolOf(tree) + indentOf(tree, line)) }], same };
}

const isPlain = ({ number, checksum, comments }: Line, end: number): boolean =>
  !number && !checksum && comments.every((comment) => comment.span.start >= end);

const overlaps = (a: Span, b: Span): boolean => a.start < b.end && a.end > b.start;

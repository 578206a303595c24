import type { BoundCommand } from '../commands/bind.ts';
import { type Family, writtenCode } from '../commands/record.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { tagValue } from '../placeholders/tags.ts';
import type { Block, Item, Line, Section } from '../syntax/nodes.ts';
import { type Span, slice } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { shorten } from './phrase.ts';
import { boundOf } from './steps.ts';

/** One entry of the outline. `selection` lies in `span`, and the children's spans do too. */
export interface Outline {
  readonly name: string;
  readonly detail: string;
  readonly kind: 'command' | 'section' | 'comment';
  readonly span: Span;
  readonly selection: Span;
  readonly children: readonly Outline[];
}

/** While it is being built. */
interface Entry extends Outline {
  detail: string;
  span: Span;
  readonly children: Entry[];
}

/** What a reader looks for; all other commands are left out, and moves are counted. */
const NOTED: ReadonlySet<Family> = new Set<Family>([
  'homing and probing',
  'heat',
  'tool',
  'motors',
  'messages',
  'files and waiting',
]);
/** Sections deeper than this are shown as part of the one around them. */
const DEEPEST = 12;

/**
 * The outline of a text: comments that stand alone on their line head the commands of note behind them (homing, heat,
 * tools, messages, the machine's own), sections hold theirs, and moves in a row are one entry.
 */
export function symbols(a: Analysis): Outline[] {
  return entriesOf(a, a.items, 0);
}

/** What is open while the items of one level are walked. */
interface Level {
  readonly entries: Entry[];
  head: Entry | null;
  /** The last row was a comment that belongs to the head. */
  inHeading: boolean;
  moves: { readonly entry: Entry; count: number } | null;
}

function entriesOf(a: Analysis, items: readonly Item[], depth: number): Entry[] {
  const level: Level = { entries: [], head: null, inHeading: false, moves: null };
  for (const item of items) {
    if (item.type === 'block') addBlock(a, level, item, depth);
    else addLine(a, level, item);
  }
  return level.entries;
}

function addBlock(a: Analysis, level: Level, block: Block, depth: number): void {
  level.inHeading = false;
  level.moves = null;
  if (depth >= DEEPEST) {
    for (const line of linesOf(block)) addLine(a, level, line);
    return;
  }
  const { section } = block;
  const children = entriesOf(a, block.items, depth + 1);
  const end = Math.max(section.span.end, section.open.span.end, children.at(-1)?.span.end ?? 0);
  add(level, {
    name: sectionName(a, section),
    detail: '',
    kind: 'section',
    span: { start: section.span.start, end },
    selection: section.open.span,
    children,
  });
}

/** All lines of a block, blocks in it included; no recursion, since nesting may be deep. */
function linesOf(block: Block): Line[] {
  const lines: Line[] = [];
  const stack: Item[] = [...block.items].reverse();
  for (let item = stack.pop(); item; item = stack.pop()) {
    if (item.type === 'line') lines.push(item);
    else for (let i = item.items.length - 1; i >= 0; i--) stack.push(item.items[i] as Item);
  }
  return lines;
}

function addLine(a: Analysis, level: Level, line: Line): void {
  if (line.commands.length === 0) {
    const comment = line.comments[0];
    if (!comment) level.inHeading = false;
    else addComment(a, level, line, comment.span);
    return;
  }
  level.inHeading = false;
  // A line's commands are bound in the order in which they run; a reader looks for the order in which they stand.
  for (const node of line.commands) {
    const command = boundOf(a, line, node);
    if (command) addCommand(a, level, command);
  }
}

/** The first row of a run of comment rows is the headline, the second its detail. Rulers and commands put out of use are none. */
function addComment(a: Analysis, level: Level, line: Line, span: Span): void {
  const text = commentText(a.tree.text, span);
  if (text === '' || /^[GMT]\d+(\.\d)?\b/i.test(text)) return;
  if (level.inHeading) {
    if (level.head && level.head.detail === '') level.head.detail = shorten(text, 80);
    return;
  }
  const head: Entry = {
    name: shorten(text, 80),
    detail: '',
    kind: 'comment',
    span: line.span,
    selection: span,
    children: [],
  };
  level.head = null;
  level.moves = null;
  add(level, head);
  level.head = head;
  level.inHeading = true;
}

/** The words of a comment, without its mark and without lines drawn around them. */
function commentText(text: string, span: Span): string {
  return text
    .slice(span.start, Math.min(span.end, span.start + 300))
    .replace(/^[;(]+|\)$/g, '')
    .replace(/\s+/g, ' ')
    .replace(/^[\s\-=*#_~+.:/\\|<>]+|[\s\-=*#_~+:/\\|<>]+$/g, '');
}

function addCommand(a: Analysis, level: Level, command: BoundCommand): void {
  const { record, node } = command;
  if (!record) return;
  const moves = record.effects.some((e) => e.do === 'line' || e.do === 'arc' || e.do === 'curve');
  if (moves && !node.named) {
    addMove(level, node.span);
    return;
  }
  if (!node.named && !NOTED.has(record.family) && !record.effects.some((e) => e.do === 'stop')) return;
  level.moves = null;
  const { text } = a.tree;
  const rest = text
    .slice(node.codeSpan.end, Math.min(node.span.end, node.codeSpan.end + 200))
    .replace(/\s+/g, ' ')
    .trim();
  const name = node.named ? writtenCode(record, record.code) : `${record.code} ${record.title}`;
  add(level, {
    name,
    detail: shorten(rest, 80),
    kind: 'command',
    span: node.span,
    selection: node.codeSpan,
    children: [],
  });
}

function addMove(level: Level, span: Span): void {
  if (!level.moves) {
    const entry: Entry = { name: '1 move', detail: '', kind: 'command', span, selection: span, children: [] };
    level.moves = { entry, count: 0 };
    add(level, entry);
  }
  const { moves } = level;
  moves.count++;
  const entry = moves.entry as { -readonly [K in keyof Entry]: Entry[K] };
  entry.name = moves.count === 1 ? '1 move' : `${moves.count} moves`;
  grow(entry, span);
  if (level.head) grow(level.head, span);
}

function add(level: Level, entry: Entry): void {
  if (!level.head) {
    level.entries.push(entry);
    return;
  }
  level.head.children.push(entry);
  grow(level.head, entry.span);
}

function grow(entry: Entry, span: Span): void {
  entry.span = { start: Math.min(entry.span.start, span.start), end: Math.max(entry.span.end, span.end) };
}

function sectionName(a: Analysis, section: Section): string {
  const condition = shorten(slice(a.tree.text, section.open.inner).replace(/\s+/g, ' '), 80);
  if (section.open.keyword === 'else') return 'else';
  if (section.open.keyword === 'elseIf') return `else if ${condition}`;
  if (section.inverted) return `unless ${condition}`;
  const value = tagValue(section.open, a.expressions, boundsEnv(a.vocabulary));
  return value.type === 'list' ? `for each of ${condition}` : `if ${condition}`;
}

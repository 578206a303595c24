import { type BoundCommand, shownCode } from '../commands/bind.ts';
import { describeCommand, describeWord } from '../commands/describe.ts';
import { findRecordWord } from '../commands/record.ts';
import { visible } from '../placeholders/environment.ts';
import type { Expr } from '../placeholders/expression.ts';
import { closedBy, openedBy, placeAt } from '../syntax/at.ts';
import type { Command, Line, Tag, Word } from '../syntax/nodes.ts';
import { type Span, slice, touches } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { commandFacts, neverBecause } from './commandFacts.ts';
import { bullets, capital, code, paragraphs, plain } from './phrase.ts';
import { boundOf, common, ownerOf, type Ran, ranOf } from './steps.ts';
import {
  expressionText,
  type FunctionHelp,
  functionFacts,
  functionHelp,
  nameFacts,
  partAt,
  sectionFacts,
} from './tagFacts.ts';
import { wordFacts } from './wordFacts.ts';

/** What is shown for a place: Markdown, and the stretch of text that it is about. */
export interface HoverText {
  readonly span: Span;
  readonly markdown: string;
}

/** What stands at an offset, what it means, and what it does there on this machine; null where nothing is to be said. */
export function hover(a: Analysis, offset: number): HoverText | null {
  if (!(offset >= 0 && offset <= a.tree.text.length)) return null;
  const place = placeAt(a.tree, offset);
  if (place.tag) return hoverTag(a, place.tag, place.word ? ownerAndWord(a, place.line, place.word) : null, offset);
  if (place.comment && offset > place.comment.span.start) return null;
  if (place.word) return hoverWord(a, place.line, place.word);
  if (place.command && touches(place.command.codeSpan, offset)) return hoverCommand(a, place.line, place.command);
  return null;
}

function hoverCommand(a: Analysis, line: Line, node: Command): HoverText | null {
  const bound = boundOf(a, line, node);
  if (!bound || node.codeSpan.start === node.codeSpan.end) return null;
  return { span: node.codeSpan, markdown: commandPage(a, bound) };
}

function commandPage(a: Analysis, bound: BoundCommand): string {
  if (!bound.record) {
    const open = bound.node.code === null;
    const why = open
      ? 'Which command this is depends on the job or cannot be read.'
      : 'This command is not known. Where it is one of the machine’s own, its file can say what it does, under “commands”.';
    return paragraphs([`**${plain(slice(a.tree.text, bound.node.codeSpan))}**`, why]);
  }
  const ran = ranOf(a, bound);
  const page = describeCommand(bound.record, a.machine?.controller ?? null, inchesIn(ran));
  // What holds here goes between what the command does and the reference part, where it is seen without scrolling.
  const [head = '', does = '', ...rest] = page.split('\n\n');
  return paragraphs([head, does, here(a, commandFacts(a, ran)), ...rest]);
}

function hoverWord(a: Analysis, line: Line, word: Word): HoverText | null {
  if (line.number === word)
    return { span: word.span, markdown: '**Line number**\n\nIt has no effect on what the line does.' };
  const owner = ownerOf(a, line, word);
  if (!owner || word.key === '') return null;
  // The number of `T0` is the command itself.
  if (owner.node.codeSpan.start === word.span.start && owner.code === word.key)
    return hoverCommand(a, line, owner.node);
  const markdown = wordPage(a, owner, word);
  return markdown === '' ? null : { span: word.span, markdown };
}

function wordPage(a: Analysis, owner: BoundCommand, word: Word): string {
  if (!owner.record) return '';
  const record = findRecordWord(owner.record, word.key);
  const ran = ranOf(a, owner);
  if (!record) {
    const open = owner.record.openWords ? ' Controllers differ here: see the machine’s manual.' : '';
    return `**${plain(word.key.length === 1 ? word.key : slice(a.tree.text, word.keySpan))}** is no word of ${plain(shownCode(owner))} that is known here.${open}`;
  }
  const page = describeWord(owner.record, record, a.machine?.controller ?? null, inchesIn(ran));
  const [head = '', ...rest] = page.split('\n\n');
  const facts = ran.steps.length === 0 ? [`It never runs here: ${neverBecause(ran)}.`] : wordFacts(a, ran, word);
  return paragraphs([head, here(a, facts), ...rest]);
}

const inchesIn = (ran: Ran): boolean | null => common(ran.steps, (s) => s.before.inches);

function here(a: Analysis, facts: readonly string[]): string {
  if (facts.length === 0) return '';
  return `**Here${a.machine ? `, on ${plain(a.machine.name)}` : ''}**\n\n${bullets(facts)}`;
}

interface Owned {
  readonly owner: BoundCommand;
  readonly word: Word;
}

function ownerAndWord(a: Analysis, line: Line, word: Word): Owned | null {
  const owner = ownerOf(a, line, word);
  return owner && word.key !== '' ? { owner, word } : null;
}

/** A tag: the name or function under the cursor, then the whole expression's value, then what the word makes of it. */
function hoverTag(a: Analysis, tag: Tag, owned: Owned | null, offset: number): HoverText | null {
  if (tag.kind === 'close') {
    const section = closedBy(a.tree, tag);
    if (!section) return null;
    return { span: tag.span, markdown: `Ends the section ${code(slice(a.tree.text, section.open.span))}.` };
  }
  if (tag.kind === 'delimiters') return { span: tag.span, markdown: 'Sets the delimiters of the tags behind it.' };
  if (tag.kind === 'comment' || tag.kind === 'partial') return null;
  const expr = a.expressions.get(tag)?.expr ?? null;
  const part = expr && partAt(expr, offset);
  const about = part ? partPage(a, tag, part) : looseName(a, tag, offset);
  const pages = [about?.page ?? ''];
  if (expr && (part !== expr || about === null)) {
    pages.push(`${code(slice(a.tree.text, tag.inner))}: ${expressionText(a, tag, expr)}.`);
  }
  const section = tag.kind === 'value' ? null : (openedBy(a.tree, tag) ?? null);
  if (section) pages.push(sectionFacts(a, section));
  if (owned && tag.kind === 'value') pages.push(useOf(a, owned));
  const markdown = paragraphs(pages);
  if (markdown === '') return null;
  const span = [about?.span, tag.inner].find((s) => s && touches(s, offset)) ?? tag.span;
  return { span, markdown };
}

interface About {
  readonly span: Span;
  readonly page: string;
}

/** The name or function that a part of an expression is; null for operators and plain values. */
function partPage(a: Analysis, tag: Tag, part: Expr): About | null {
  if (part.type === 'name') return namePage(a, tag, part.name, part.span);
  if ((part.type !== 'call' && part.type !== 'foreign') || !part.fn) return null;
  const written = slice(a.tree.text, part.fn);
  const help = functionHelp(a.vocabulary, written);
  if (help) return { span: part.fn, page: functionPage(help, `Here: ${expressionText(a, tag, part)}.`) };
  const unknown = `${code(written)} is a function that the vocabulary does not declare, so what it gives is unknown.`;
  return { span: part.fn, page: unknown };
}

function namePage(a: Analysis, tag: Tag, written: string, span: Span): About {
  if (written === '.') return { span, page: 'The element of the list that the section is filled in for.' };
  const name = a.scopes.find(tag, written)?.name;
  if (!name || name.hidden) return { span, page: `${code(written)} is no name of the vocabulary.` };
  const kind = name.unit === '' ? name.kind : `${name.kind}, ${name.unit}`;
  return { span, page: `**${plain(name.name)}** (${kind})\n\n${nameFacts(a, name).join('\n\n')}` };
}

const functionPage = (help: FunctionHelp, more: string): string => paragraphs([functionFacts(help), more]);

/** In an expression that cannot be read: the name or function that stands at the offset by its letters. */
function looseName(a: Analysis, tag: Tag, offset: number): About | null {
  const { text } = a.tree;
  let { start, end } = { start: offset, end: offset };
  while (start > tag.inner.start && /[\w.]/.test(text.charAt(start - 1))) start--;
  while (end < tag.inner.end && /[\w.]/.test(text.charAt(end))) end++;
  const found = text.slice(start, end);
  if (offset < tag.inner.start || offset > tag.inner.end || !/^[A-Za-z_]/.test(found)) return null;
  const span = { start, end };
  const help = functionHelp(a.vocabulary, found);
  if (help) return { span, page: functionPage(help, '') };
  return visible(a.vocabulary).some((n) => n.name === found) ? namePage(a, tag, found, span) : null;
}

/** What the word that the tag stands in makes of it. */
function useOf(a: Analysis, { owner, word }: Owned): string {
  if (!owner.record) return '';
  const record = findRecordWord(owner.record, word.key);
  if (!record) return '';
  const facts = wordFacts(a, ranOf(a, owner), word);
  const head = `**${plain(record.written ?? word.key)}** of ${plain(shownCode(owner))}: ${plain(record.meaning)}`;
  return facts.length === 0 ? head : `${head}\n\n${bullets(facts.map(capital))}`;
}

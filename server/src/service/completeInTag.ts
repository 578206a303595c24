import { findRecordWord } from '../commands/record.ts';
import type { WordUnit } from '../commands/unit.ts';
import { visible } from '../placeholders/environment.ts';
import { FUNCTIONS, type FunctionName } from '../placeholders/expression.ts';
import { type Name, tagStyleOf } from '../placeholders/vocabulary.ts';
import { lastBefore, type Place } from '../syntax/at.ts';
import type { Tag, Tree } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import type { CompletionItem } from './completionItem.ts';
import { plain } from './phrase.ts';
import { ownerOf } from './steps.ts';
import { functionFacts, nameDetail, nameFacts } from './tagFacts.ts';

/** Names and functions where an expression in a tag wants a value; the open section's text in a closing tag. */
export function completeInTag(a: Analysis, place: Place, tag: Tag, offset: number): CompletionItem[] {
  const inside = insideOf(a, tag);
  if (offset < inside.start || offset > inside.end) return [];
  if (tag.keyword === 'else' || tag.keyword === 'end') return [];
  if (tag.kind === 'close') return completeClose(a, tag, inside, offset);
  if (tag.kind !== 'value' && tag.kind !== 'section' && tag.kind !== 'inverted') return [];
  const { text } = a.tree;
  const token = tokenAt(text, inside, offset);
  const before = text.slice(inside.start, token.start);
  if (/^\d/.test(slice(text, token)) || !wantsValue(before)) return [];
  const edit = editOf(a, tag, inside, token, before);
  const rank = rankFor(a, place, tag);
  // Inside a list's section the elements' own names come first, and hide those that begin like them.
  const outer = visible(a.vocabulary).filter((name) => a.scopes.find(tag, name.name)?.key === name.name);
  const names = [...a.scopes.elements(tag), ...outer]
    .map((name, i) => ({ name, i, rank: rank(name) }))
    .sort((one, other) => one.rank - other.rank || one.i - other.i)
    .map(({ name }, i) => nameItem(a, name, edit, i));
  const functions = (Object.keys(FUNCTIONS) as FunctionName[]).map((name, i) => functionItem(name, edit, i));
  return [...names, ...functions];
}

/** Between the delimiters, kind mark not counted. An unclosed tag reaches to its end. */
interface Inside extends Span {
  readonly open: string;
  readonly close: string;
  readonly mark: string;
}

function insideOf(a: Analysis, tag: Tag): Inside {
  const { text } = a.tree;
  const { open, close } = delimitersAt(a, tag);
  const triple = open === '{{' && close === '}}' && text.charAt(tag.span.start + 2) === '{';
  const head = tag.span.start + open.length + (triple ? 1 : 0);
  if (tag.keyword) {
    const end = tag.closed ? tag.span.end - close.length : tag.span.end;
    // Behind the keyword and one blank.
    return { start: Math.min(tag.inner.start, end), end, open, close, mark: '' };
  }
  const mark = /^ ?[#^/>&!=]/.exec(text.slice(head, Math.min(head + 2, tag.span.end)))?.[0] ?? '';
  const start = head + (tag.kind === 'value' && mark !== '&' ? 0 : mark.length);
  const tail = (triple ? '}' : '') + close;
  const end = tag.closed ? tag.span.end - tail.length : tag.span.end;
  return { start, end: Math.max(start, end), open: triple ? '{{{' : open, close: tail, mark: start > head ? mark : '' };
}

/** The delimiters in force at a tag: those that the last set-delimiter tag before it gave. */
export function delimitersAt(
  { tree, vocabulary }: Analysis,
  tag: Tag,
): { readonly open: string; readonly close: string } {
  const set = lastBefore(settingsOf(tree), tag.span.start - 1);
  if (set) return set;
  const pairs = tagStyleOf(vocabulary).pairs.filter(({ open }) => tree.text.startsWith(open, tag.span.start));
  const { open, close } = pairs.sort((one, other) => other.open.length - one.open.length)[0] ?? {
    open: '{{',
    close: '}}',
  };
  return { open, close };
}

/** Every pair of delimiters that a tag sets, with its place. */
const settingsOf = once(({ tags, text }: Tree) =>
  tags.flatMap(({ kind, closed, inner, span }) => {
    if (kind !== 'delimiters' || !closed) return [];
    const [, open, close] = /^(\S+)[ \t]+(\S+)[ \t]*=$/.exec(slice(text, inner).slice(0, 100)) ?? [];
    return open && close ? [{ span, open, close }] : [];
  }),
);

/** The name or number under the cursor. */
function tokenAt(text: string, inside: Span, offset: number): Span {
  let { start, end } = { start: offset, end: offset };
  while (start > inside.start && /[\w.]/.test(text.charAt(start - 1))) start--;
  while (end < inside.end && /[\w.]/.test(text.charAt(end))) end++;
  return { start, end };
}

/** Whether an expression that begins like this goes on with a value, rather than with an operator or within a text. */
function wantsValue(before: string): boolean {
  const withoutTexts = before.replace(/"[^"]*"|'[^']*'/g, '0');
  if (/["']/.test(withoutTexts)) return false;
  return !/[\w.)\]}]\s*$/.test(withoutTexts);
}

/** What is replaced, and what stands before and behind the inserted name. */
interface Edit {
  readonly span: Span;
  readonly lead: string;
  readonly tail: string;
}

/** Keeps blanks inside the delimiters, and closes a tag that is not closed on its row. */
function editOf(a: Analysis, tag: Tag, inside: Inside, token: Span, before: string): Edit {
  const { text } = a.tree;
  const lead = before === '' && inside.mark === '' ? ' ' : '';
  const rest = text.slice(token.end, inside.end);
  const row = /^[^\r\n]*/.exec(text.slice(token.end, token.end + 1000))?.[0] ?? '';
  const across = tag.closed && row.length < inside.end - token.end && !a.expressions.get(tag)?.expr;
  if (tag.closed && !across) {
    const tight = rest === '' && (lead === ' ' || /^\s/.test(before));
    return { span: token, lead, tail: tight ? ' ' : '' };
  }
  // Not closed: the tag ends behind the name, unless a bracket is still open. A lone } of the close goes with it.
  const open = (before.match(/\(/g) ?? []).length > (before.match(/\)/g) ?? []).length;
  if (open) return { span: token, lead, tail: '' };
  const part = inside.close.startsWith('}') ? (/^[ \t]*\}(?!\})/.exec(row)?.[0].length ?? 0) : 0;
  const gap = inside.mark === '' || /^\s/.test(before) ? ' ' : '';
  return { span: { start: token.start, end: token.end + part }, lead, tail: gap + inside.close };
}

function nameItem(a: Analysis, name: Name, edit: Edit, index: number): CompletionItem {
  return {
    label: name.name,
    kind: 'placeholder',
    detail: nameDetail(name),
    documentation: `**${plain(name.name)}**\n\n${nameFacts(a, name).join('\n\n')}`,
    span: edit.span,
    text: edit.lead + name.name + edit.tail,
    sort: `0${String(index).padStart(4, '0')}`,
    filter: name.name,
  };
}

function functionItem(name: FunctionName, edit: Edit, index: number): CompletionItem {
  return {
    label: name,
    kind: 'function',
    detail: FUNCTIONS[name].signature,
    documentation: functionFacts(name),
    span: edit.span,
    text: `${edit.lead}${name}(`,
    sort: `1${String(index).padStart(4, '0')}`,
    filter: name,
  };
}

/** Lower ranks come first: names that a job of this role gives, of the kind that the word at hand takes. */
function rankFor(a: Analysis, { line, word }: Place, tag: Tag): (name: Name) => number {
  const fits =
    tag.kind === 'value' ? fitting(a, tag, line, word) : (name: Name) => name.kind === 'list' || name.kind === 'flag';
  return (name) => (name.roles && !name.roles.includes(a.role) ? 4 : 0) + (fits(name) ? 0 : 1);
}

function fitting(a: Analysis, tag: Tag, line: Place['line'], word: Place['word']): (name: Name) => boolean {
  const owner = word ? ownerOf(a, line, word) : undefined;
  const record = word && owner?.record ? findRecordWord(owner.record, word.key) : undefined;
  if (!record || !owner?.record) return () => true;
  const heater = owner.record.effects.flatMap((e) => (e.do === 'heat' ? [e.heater] : []))[0];
  const kinds = KINDS[record.unit] ?? ['number'];
  const own = new Set(a.scopes.elements(tag));
  return (name) => kinds.includes(name.kind) && (heater === undefined || own.has(name) || name.name.includes(heater));
}

const KINDS: Readonly<Partial<Record<WordUnit, readonly Name['kind'][]>>> = {
  'degrees C': ['temperature'],
  length: ['length'],
  mm: ['length'],
  count: ['count'],
  index: ['count'],
  text: ['text'],
  switch: ['flag'],
};

/** In a closing tag: the text of the section that it ends. */
function completeClose(a: Analysis, tag: Tag, inside: Inside, offset: number): CompletionItem[] {
  const section = a.tree.sections.find((s) => s.close === tag) ?? innermostOpen(a, tag.span.start);
  if (!section) return [];
  // Blanks as in the opening tag: {{/ a }} for {{# a }}, {{/a}} for {{#a}}.
  const { inner } = section.open;
  const lead = a.tree.text.charAt(inner.start - 1) === ' ' ? ' ' : '';
  const tail = a.tree.text.charAt(inner.end) === ' ' ? ' ' : '';
  const text = slice(a.tree.text, inner);
  if (/[\r\n]/.test(text)) return [];
  const row = /[\r\n]/.exec(a.tree.text.slice(offset, inside.end));
  const end = row ? offset + row.index : inside.end;
  return [
    {
      label: text,
      kind: 'placeholder',
      detail: 'ends this section',
      documentation: 'Ends the section that is open here. An empty closing tag does the same.',
      span: { start: inside.start, end: tag.closed ? end : Math.min(end, offset) },
      text: lead + text + tail + (tag.closed ? '' : inside.close),
      sort: '0',
      filter: text,
    },
  ];
}

function innermostOpen(a: Analysis, offset: number): { readonly open: Tag } | null {
  let found: { readonly open: Tag } | null = null;
  for (const section of a.tree.sections) {
    if (section.open.span.end > offset) break;
    if (section.span.end > offset || (!section.close && section.span.end >= offset)) found = section;
  }
  return found;
}

import { findRecordWord } from '../commands/record.ts';
import type { WordUnit } from '../commands/unit.ts';
import { visible } from '../placeholders/environment.ts';
import { OURS } from '../placeholders/ours.ts';
import { type Name, tagStyleOf } from '../placeholders/vocabulary.ts';
import { lastBefore, type Place } from '../syntax/at.ts';
import type { Tag, Tree } from '../syntax/nodes.ts';
import { endsOf } from '../syntax/tagStyle.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import type { CompletionItem } from './completionItem.ts';
import { plain } from './phrase.ts';
import { ownerOf } from './steps.ts';
import { functionFacts, functionHelp, functionsOf, nameDetail, nameFacts } from './tagFacts.ts';
import { placeIn } from './tagToken.ts';

/** Names and functions where an expression in a tag wants a value; the open section's text in a closing tag. */
export function completeInTag(a: Analysis, at: Place, tag: Tag, offset: number): CompletionItem[] {
  const inside = insideOf(a, tag);
  if (offset < inside.start || offset > inside.end) return [];
  if (tag.keyword === 'else' || tag.keyword === 'end') return [];
  if (tag.kind === 'close') return completeClose(a, tag, inside, offset);
  if (!['value', 'section', 'inverted', 'set'].includes(tag.kind)) return [];
  const { text } = a.tree;
  const place = placeIn(a.vocabulary, text, inside, offset);
  const { token, before } = place;
  if (/^\d+(\.\d*)?$/.test(slice(text, token)) || place.wants === null) return [];
  const edit = editOf(a, tag, inside, token, before);
  const written = [...functionsOf(a.vocabulary).keys()];
  if (place.wants === 'function') return written.flatMap((name, i) => functionItem(a, name, edit, i, false));
  const rank = rankFor(a, at, tag);
  // Inside a list's section the elements' own names come first, and hide those that begin like them.
  const outer = visible(a.vocabulary).filter((name) => a.scopes.find(tag, name.name)?.key === name.name);
  const names = [...a.scopes.elements(tag), ...outer]
    .map((name, i) => ({ name, i, rank: rank(name) }))
    .sort((one, other) => one.rank - other.rank || one.i - other.i)
    .map(({ name }, i) => nameItem(a, name, edit, i, place.mark));
  return [...names, ...written.flatMap((name, i) => functionItem(a, name, edit, i, true))];
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
  const { open, close } = endsOf(tagStyleOf(vocabulary), tree.text, tag) ?? { open: '{{', close: '}}' };
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

/** What is replaced, and what stands before and behind the inserted name. */
interface Edit {
  readonly span: Span;
  readonly lead: string;
  readonly tail: string;
}

/** Keeps blanks inside the delimiters, and closes a tag that is not closed on its row. */
function editOf(a: Analysis, tag: Tag, inside: Inside, token: Span, before: string): Edit {
  const { text } = a.tree;
  // Where an end is one sign, people write the name beside it; equal ends have to touch it.
  const wide = inside.open.length > 1 && inside.close.length > 1 && inside.open !== inside.close;
  const lead = before === '' && inside.mark === '' && wide && !tag.keyword ? ' ' : '';
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
  const gap = wide && (inside.mark === '' || /^\s/.test(before)) ? ' ' : '';
  return { span: { start: token.start, end: token.end + part }, lead, tail: gap + inside.close };
}

function nameItem(a: Analysis, name: Name, edit: Edit, index: number, mark: string): CompletionItem {
  return {
    label: name.name,
    kind: 'placeholder',
    detail: nameDetail(name),
    documentation: `**${plain(name.name)}**\n\n${nameFacts(a, name).join('\n\n')}`,
    span: edit.span,
    text: edit.lead + mark + name.name + edit.tail,
    sort: `0${String(index).padStart(4, '0')}`,
    filter: name.name,
  };
}

/** @param asValue Whether a value is wanted, rather than what is done with the one in front of a sign. */
function functionItem(a: Analysis, name: string, edit: Edit, index: number, asValue: boolean): CompletionItem[] {
  const help = functionHelp(a.vocabulary, name);
  const [form] = (a.vocabulary.grammar ?? OURS).calls.filter(
    ({ is }) => (is !== 'filter' && is !== 'method') === asValue,
  );
  if (!help || !form) return [];
  const opens =
    form.is === 'words'
      ? ' '
      : form.is === 'filter' && help.most < 2
        ? ''
        : form.is === 'filter'
          ? FILTER[form.behind]
          : '(';
  return [
    {
      label: name,
      kind: 'function',
      detail: help.signature,
      documentation: functionFacts(help),
      span: edit.span,
      text: `${edit.lead}${name}${opens}`,
      sort: `1${String(index).padStart(4, '0')}`,
      filter: name,
    },
  ];
}

const FILTER = { ':': ': ', '(': '(' } as const;

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

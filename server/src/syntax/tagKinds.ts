import { type Span, span } from '../text/span.ts';
import type { Tag } from './nodes.ts';
import type { Search } from './openers.ts';
import { isSpace } from './quotes.ts';
import { halfStatement, type Statement, statementAt } from './statements.ts';
import { reportHalf } from './tagProblems.ts';
import { type StatementKind, type TagPair, writtenIn } from './tagStyle.ts';

const KINDS: Readonly<Record<string, Tag['kind']>> = {
  '#': 'section',
  '^': 'inverted',
  '/': 'close',
  '!': 'comment',
  '=': 'delimiters',
  '>': 'partial',
  '&': 'value',
};

/** A tag whose content, from one place to another, is taken without the blanks around it. */
export function makeTag(text: string, whole: Span, from: number, to: number, kind: Tag['kind'], closed: boolean): Tag {
  return { type: 'tag', span: whole, kind, inner: innerSpan(text, from, to), closed };
}

function innerSpan(text: string, from: number, to: number): Span {
  let [a, b] = [from, to];
  while (a < b && isSpace(text.charCodeAt(a))) a++;
  while (b > a && isSpace(text.charCodeAt(b - 1))) b--;
  return span(a, b);
}

/** The mark that tells the tag's kind; '' for a plain value. `{{ !done }}` with a blank is an expression, `{{!done}}` a comment. */
export function markAt(text: string, body: number, marks: string): string {
  const first = text.charAt(body);
  if (first !== '' && marks.includes(first)) return first;
  if (first !== ' ') return '';
  const second = text.charAt(body + 1);
  const known = second === '#' || second === '^' || second === '/' || second === '>';
  return known && marks.includes(second) ? second : '';
}

/** The tag that a content makes: a statement of its language, what a mark says, else a value. */
export function contentTag(
  s: Search,
  pair: Pick<TagPair, 'open' | 'close' | 'holds'>,
  whole: Span,
  from: number,
  to: number,
  closed: boolean,
): Tag {
  const { text, reading } = s;
  const { holds } = pair;
  if (holds === 'values') return makeTag(text, whole, from, to, 'value', closed);
  const statement = findStatement(s, from, to, closed && holds === 'anything', closed);
  if (statement) return statementTag(s, pair, whole, statement, closed);
  const mark = markAt(text, from, reading.marks);
  const at = mark === '' ? -1 : text.indexOf(mark, from);
  // A mark may as well be the close's own first sign.
  if (at >= 0 && at < to) return makeTag(text, whole, at + 1, to, KINDS[mark] ?? 'value', closed);
  return makeTag(text, whole, from, to, holds === 'statements' ? 'foreign' : 'value', closed);
}

/** The statement that stands between two places; null where none does. */
export function findStatement(
  s: Search,
  from: number,
  to: number,
  mayBeValue: boolean,
  halfToo: boolean,
): Statement | null {
  const { text, reading, work } = s;
  if (reading.forms.length === 0) return null;
  const place = { text, quotes: reading.quotes, work, ...innerSpan(text, from, to) };
  return statementAt(place, reading.forms) ?? (halfToo ? halfStatement(place, reading.forms, mayBeValue) : null);
}

const STATEMENT_TAGS: Readonly<Partial<Record<StatementKind, Tag['kind']>>> = {
  unless: 'inverted',
  set: 'set',
  include: 'partial',
  end: 'close',
};

/** The tag that a statement is; one that lacks a part is told, and counts as not closed. */
export function statementTag(
  s: Search,
  pair: Pick<TagPair, 'open' | 'close'>,
  whole: Span,
  { form, slots, inner, whole: complete }: Statement,
  closed: boolean,
): Tag {
  if (!complete) reportHalf(s, whole, writtenIn(pair, form.form));
  const kind = STATEMENT_TAGS[form.is] ?? 'section';
  return { type: 'tag', span: whole, kind, inner, keyword: form.is, form, slots, closed: closed && complete };
}

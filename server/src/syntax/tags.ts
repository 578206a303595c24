import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { span } from '../text/span.ts';
import { digitsEnd } from './digitForms.ts';
import { isBracketOfRs274, passTag } from './looseTags.ts';
import { delimitersTag, setDelimiters, tripleTag } from './mustacheTags.ts';
import { extentOf, type Tag } from './nodes.ts';
import { nextCloseOf, nextPlace, type Opener, openersOf, readingOf, type Search } from './openers.ts';
import type { ProblemList } from './problems.ts';
import { isEol, type ParserWork } from './quotes.ts';
import { readLoose } from './readLoose.ts';
import { endOfTag } from './tagEnd.ts';
import { contentTag, makeTag, markAt } from './tagKinds.ts';
import { reportUnclosed, reportUnclosedRaw, reportUnopenedRaw } from './tagProblems.ts';
import { MUSTACHE, type TagLanguage, type TagPair } from './tagStyle.ts';
import { openTrim, trimsOf, withTrims } from './trims.ts';

export type { ParserWork } from './quotes.ts';

/**
 * Every tag of the text, in order (as the language has them; without one by the Mustache specification 1.4:
 * interpolation, sections, inverted, comments, partials, delimiters). Tags are recognised before anything else. A tag
 * whose close is missing, or comes only behind the next opening delimiter, ends at the end of its row or before that
 * delimiter.
 * @param most Tags that are looked for.
 */
export const findTags = (
  text: string,
  problems: ProblemList,
  work: ParserWork,
  language: TagLanguage = MUSTACHE,
  most = Number.POSITIVE_INFINITY,
): Tag[] => finish(findingTags(text, problems, work, language, most));

/** The same in pieces. */
export function* findingTags(
  text: string,
  problems: ProblemList,
  work: ParserWork,
  language: TagLanguage = MUSTACHE,
  most = Number.POSITIVE_INFINITY,
): Pieces<Tag[]> {
  const pace = new Pace();
  const tags: Tag[] = [];
  const reading = readingOf(language);
  const openers = openersOf(reading);
  const comments = openers.some(({ kind }) => kind === 'equal') ? { to: 0, begun: 0 } : null;
  const search: Search = {
    ...{ text, reading, problems, work, openers, comments },
    rawTold: false,
    emptyUntil: -1,
    until: 0,
  };
  let from = 0;
  for (;;) {
    const start = nextPlace(text, search.openers, from, work);
    if (start < 0 || tags.length >= most) return tags;
    const tag = tagAt(search, start);
    if (!tag) {
      from = start + 1;
      continue;
    }
    tags.push(tag);
    if (pace.due()) yield;
    from = search.until = extentOf(tag).end;
    if (comments) passTag(text, comments, extentOf(tag), work);
    if (tag.kind === 'raw' && tag.closed) from = endRaw(search, tags, from);
  }
}

/** The first of the openers at a place that makes a tag of what stands there. */
function tagAt(s: Search, start: number): Tag | null {
  for (const one of s.openers) {
    const tag = one.next === start ? read(s, one, start) : null;
    if (tag) return tag;
  }
  return null;
}

function read(s: Search, one: Opener, start: number): Tag | null {
  const body = start + one.text.length;
  switch (one.kind) {
    case 'escape':
      return {
        type: 'tag',
        span: span(start, body),
        kind: 'escape',
        inner: span(body, body),
        gives: one.other,
        closed: true,
      };
    case 'raw':
      return rawTag(start, body, true);
    case 'rawEnd':
      reportUnopenedRaw(s, span(start, body));
      return rawTag(start, body, false);
    case 'comment':
      return readComment(s, one, start, body);
    case 'plain':
      return readPlain(s, one, start, body);
    case 'pair':
      return readPair(s, one, start, body);
    default:
      return readLoose(s, one, start, body);
  }
}

const rawTag = (start: number, end: number, closed: boolean): Tag => ({
  type: 'tag',
  span: span(start, end),
  kind: 'raw',
  inner: span(end, end),
  closed,
});

/** Goes on behind the end of a raw stretch that began at `from`, where its tag is added. */
function endRaw(s: Search, tags: Tag[], from: number): number {
  const { text, work } = s;
  const begin = tags.at(-1) as Tag;
  const [, close = ''] =
    s.reading.language.raw.find(([open]) => open === text.slice(begin.span.start, begin.span.end)) ?? [];
  const at = text.indexOf(close, from);
  work.steps += (at < 0 ? text.length : at) - from + 1;
  if (at >= 0) tags.push(rawTag(at, at + close.length, true));
  else if (!s.rawTold) {
    reportUnclosedRaw(s, begin, close);
    s.rawTold = true;
  }
  // While it is typed the text behind its row is read as before.
  s.until = at < 0 ? endOfRow(s, from, text.length) : at + close.length;
  return s.until;
}

/** `{# … #}`: anything up to the close. One without a close in its language goes to the row's end. */
function readComment(s: Search, one: Opener, start: number, body: number, before = false): Tag {
  const { text, work } = s;
  const close = one.pairs[0]?.close ?? '';
  if (close === '') {
    const row = endOfRow(s, body, text.length);
    return makeTag(text, span(start, row), body, row, 'comment', true);
  }
  const at = nextCloseOf(text, one, body, work);
  if (at < 0) {
    const row = endOfRow(s, body, text.length);
    const tag = makeTag(text, span(start, row), body, row, 'comment', false);
    reportUnclosed(s, tag, close);
    return withTrims(s, tag, { before, behind: false });
  }
  const trims = trimsOf(s, body, at);
  const tag = makeTag(text, span(start, at + close.length), trims.from, trims.to, 'comment', true);
  return withTrims(s, tag, { before: before || trims.before, behind: trims.behind });
}

/** As the Mustache specification has it: up to the first close. */
function readPlain(s: Search, one: Opener, start: number, body: number): Tag {
  const { text, work, reading } = s;
  const pair = one.pairs[0] as TagPair;
  const { close } = pair;
  const triple = one.text === '{{' && close === '}}' && reading.forms.length === 0 && text.charCodeAt(body) === 123;
  const inside = body + (triple ? 1 : 0);
  const mark = triple ? '' : markAt(text, inside, reading.marks);
  const content = mark === '' ? inside : text.indexOf(mark, inside) + 1;
  const set = mark === '=' ? delimitersTag(text, start, inside, close) : null;
  if (set) return setDelimiters(s, set);
  const at = nextCloseOf(text, one, content, work);
  // A comment may hold anything but the closing delimiter; an expression never holds an opening one.
  const opens = mark === '!' || one.text === close ? -1 : openBefore(s, one.text, content, at);
  if (at < 0 || opens >= 0) {
    const end = endOfRow(s, content, opens < 0 ? text.length : opens);
    const tag = contentTag(s, pair, span(start, end), inside, end, false);
    reportUnclosed(s, tag, triple ? `}${close}` : close);
    return tag;
  }
  if (triple) return tripleTag(s, start, content, at);
  const tag = contentTag(s, pair, span(start, at + close.length), inside, at, true);
  return tag.kind === 'delimiters' ? setDelimiters(s, tag) : tag;
}

/** Up to the first close outside of quotes and brackets, with the signs that take white space away. */
function readPair(s: Search, one: Opener, start: number, body: number): Tag | null {
  const { text, work, reading } = s;
  const first = one.pairs[0] as TagPair;
  const opened = openTrim(s, body);
  const inside = opened ?? body;
  const mark = first.holds === 'values' ? '' : markAt(text, inside, reading.marks);
  if (mark === '!') return readComment(s, one, start, inside + 1, opened !== null);
  const set = mark === '=' ? delimitersTag(text, start, inside, first.close) : null;
  if (set) return setDelimiters(s, set);
  const { at, pair } = endOfTag(text, one, inside, reading.quotes, work);
  if (one.text === '[' && isBracketOfRs274(text, start, at)) return null;
  if (!pair) {
    const tag = contentTag(s, first, span(start, at), inside, at, false);
    reportUnclosed(s, tag, first.close);
    return withTrims(s, tag, { before: opened !== null, behind: false });
  }
  const trims = trimsOf(s, body, at);
  const tag = withFormat(s, contentTag(s, pair, span(start, at + pair.close.length), trims.from, trims.to, true));
  return withTrims(s, tag.kind === 'delimiters' ? setDelimiters(s, tag) : tag, trims);
}

/** A value's tag with the form of its digits behind its close. */
function withFormat({ text, reading }: Search, tag: Tag): Tag {
  const { end } = tag.span;
  const to = tag.kind === 'value' ? digitsEnd(text, end, reading.formats) : end;
  return to > end ? { ...tag, span: span(tag.span.start, to), format: span(end, to) } : tag;
}

function openBefore({ text, work }: Search, open: string, from: number, to: number): number {
  const at = to < 0 ? text.indexOf(open, from) : text.slice(from, to).indexOf(open);
  const found = to < 0 || at < 0 ? at : at + from;
  work.steps += (found < 0 ? (to < 0 ? text.length : to) : found) - from + 1;
  return found;
}

function endOfRow({ text, work }: Search, from: number, to: number): number {
  let i = from;
  while (i < to && !isEol(text.charCodeAt(i))) i++;
  work.steps += i - from;
  return i;
}

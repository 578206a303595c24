import { finish, Pace, type Pieces } from '../text/pieces.ts';
import { span } from '../text/span.ts';
import type { Tag } from './nodes.ts';
import { type ProblemList, quote, report } from './problems.ts';
import { asKeyword, keywordList, MUSTACHE, marksBeside, type TagStyle } from './tagStyle.ts';

/** Counts the code units that the parser looks at, so that a test can hold that the work grows linearly. */
export interface ParserWork {
  steps: number;
}

const KINDS: Readonly<Record<string, Tag['kind']>> = {
  '#': 'section',
  '^': 'inverted',
  '/': 'close',
  '!': 'comment',
  '=': 'delimiters',
  '>': 'partial',
  '&': 'value',
};

/** One pair of delimiters while tags are looked for. -2: not looked for yet; -1: there is none any more. */
interface Pair {
  readonly open: string;
  readonly close: string;
  /** The next opening delimiter at or behind the place asked for. */
  nextOpen: number;
  /** The next closing one. Kept, so that unclosed tags do not search again. */
  nextClose: number;
}

const pairOf = ([open, close]: readonly [string, string]): Pair => ({ open, close, nextOpen: -2, nextClose: -2 });

/**
 * Every tag of the text, in order (Mustache specification 1.4: interpolation, sections, inverted, comments, partials,
 * delimiters; with keywords, sections are told by those). Tags are recognised before anything else. A tag whose close is
 * missing, or comes only behind the next opening delimiter, ends at the end of its row or before that delimiter.
 * @param most Tags that are looked for.
 */
export const findTags = (
  text: string,
  problems: ProblemList,
  work: ParserWork,
  style: TagStyle = MUSTACHE,
  most = Number.POSITIVE_INFINITY,
): Tag[] => finish(findingTags(text, problems, work, style, most));

/** The same in pieces. */
export function* findingTags(
  text: string,
  problems: ProblemList,
  work: ParserWork,
  style: TagStyle = MUSTACHE,
  most = Number.POSITIVE_INFINITY,
): Pieces<Tag[]> {
  const pace = new Pace();
  const tags: Tag[] = [];
  const keywords = keywordList(style.keywords);
  const marks = marksBeside(style.keywords);
  let pairs = style.delimiters.filter(([open, close]) => open !== '' && close !== '').map(pairOf);
  let from = 0;
  for (;;) {
    const pair = nextPair(text, pairs, from, work);
    if (!pair || tags.length >= most) return tags;
    const { open, close, nextOpen: start } = pair;

    const triple = open === '{{' && close === '}}' && style.keywords === null && text.charCodeAt(start + 2) === 123;
    const body = start + open.length + (triple ? 1 : 0);
    const mark = triple ? '' : markAt(text, body, marks);
    const inside = mark === '' ? body : text.indexOf(mark, body) + 1;
    if (pair.nextClose !== -1 && pair.nextClose < inside) {
      pair.nextClose = text.indexOf(close, inside);
      work.steps += (pair.nextClose < 0 ? text.length : pair.nextClose) - inside + 1;
    }
    const { nextClose } = pair;
    const kind = KINDS[mark] ?? 'value';
    // A comment may hold anything but the closing delimiter; an expression never holds an opening one.
    const nextOpen = kind === 'comment' || open === close ? -1 : openBefore(text, open, inside, nextClose, work);
    const set = kind === 'delimiters' ? delimitersTag(text, start, body, close) : null;
    const closed = set !== null || (nextClose >= 0 && nextOpen < 0);
    let tag: Tag;
    if (set) tag = set;
    else if (closed && triple) tag = tripleTag(text, start, inside, nextClose, problems);
    else if (closed) tag = makeTag(text, start, inside, nextClose, nextClose + close.length, kind, true);
    else {
      const end = endOfRow(text, inside, nextOpen < 0 ? text.length : nextOpen, work);
      tag = makeTag(text, start, inside, end, end, kind, false);
      reportUnclosed(text, tag, triple ? `}${close}` : close, problems);
    }
    if (mark === '' && keywords.length > 0) tag = asKeyword(text, tag, keywords);
    tags.push(tag);
    if (pace.due()) yield;
    from = tag.span.end;
    if (kind === 'delimiters' && closed) {
      const pair = /^(\S+)\s+(\S+)\s*=$/.exec(
        text.slice(tag.inner.start, Math.min(tag.inner.end, tag.inner.start + 100)),
      );
      if (pair && !pair[1]?.includes('=') && !pair[2]?.includes('=')) {
        pairs = [pairOf([pair[1] as string, pair[2] as string])];
      } else {
        const why =
          'A tag that sets delimiters has the form {{=<% %>=}}: two delimiters without "=", a blank between them, "=" at both ends.';
        report(
          problems,
          'stray-text',
          tag.span.start,
          tag.span.end,
          `${quote(text, tag.span.start, tag.span.end)} sets no delimiters. ${why}`,
        );
      }
    }
  }
}

/** The mark that tells the tag's kind; '' for a plain value. `{{ !done }}` with a blank is an expression, `{{!done}}` a comment. */
function markAt(text: string, body: number, marks: string): string {
  const first = text.charAt(body);
  if (first !== '' && marks.includes(first)) return first;
  if (first !== ' ') return '';
  const second = text.charAt(body + 1);
  const known = second === '#' || second === '^' || second === '/' || second === '>';
  return known && marks.includes(second) ? second : '';
}

/** The pair whose opening delimiter comes next; of two at one place the longer one. */
function nextPair(text: string, pairs: readonly Pair[], from: number, work: ParserWork): Pair | null {
  let first: Pair | null = null;
  for (const pair of pairs) {
    if (pair.nextOpen !== -1 && pair.nextOpen < from) {
      pair.nextOpen = text.indexOf(pair.open, from);
      work.steps += (pair.nextOpen < 0 ? text.length : pair.nextOpen) - from + 1;
    }
    if (pair.nextOpen < 0) continue;
    const nearer = !first || pair.nextOpen < first.nextOpen;
    if (nearer || (pair.nextOpen === first?.nextOpen && pair.open.length > first.open.length)) first = pair;
  }
  return first;
}

function openBefore(text: string, open: string, from: number, to: number, work: ParserWork): number {
  const at = to < 0 ? text.indexOf(open, from) : text.slice(from, to).indexOf(open);
  const found = to < 0 || at < 0 ? at : at + from;
  work.steps += (found < 0 ? (to < 0 ? text.length : to) : found) - from + 1;
  return found;
}

/** A well-formed set-delimiter tag. It may hold any delimiters, those in force among them (`{{={{ }}=}}`). */
function delimitersTag(text: string, start: number, body: number, close: string): Tag | null {
  const set = /^=\s*[^\s=]+\s+[^\s=]+\s*=/.exec(text.slice(body, body + 100))?.[0];
  if (set === undefined || !text.startsWith(close, body + set.length)) return null;
  const end = body + set.length;
  return makeTag(text, start, body + 1, end, end + close.length, 'delimiters', true);
}

function endOfRow(text: string, from: number, to: number, work: ParserWork): number {
  let i = from;
  while (i < to) {
    const c = text.charCodeAt(i);
    if (c === 10 || c === 13) break;
    i++;
  }
  work.steps += i - from;
  return i;
}

function makeTag(
  text: string,
  start: number,
  from: number,
  to: number,
  end: number,
  kind: Tag['kind'],
  closed: boolean,
): Tag {
  let a = from;
  let b = to;
  while (a < b && isOuterBlank(text.charCodeAt(a))) a++;
  while (b > a && isOuterBlank(text.charCodeAt(b - 1))) b--;
  return { type: 'tag', span: span(start, end), kind, inner: span(a, b), closed };
}

const isOuterBlank = (c: number): boolean => c === 32 || (c >= 9 && c <= 13) || c === 0xa0;

/** `{{{ name }}}`: closed by three braces. With only two it is still read, and told. */
function tripleTag(text: string, start: number, inside: number, at: number, problems: ProblemList): Tag {
  if (text.charCodeAt(at + 2) === 125) return makeTag(text, start, inside, at, at + 3, 'value', true);
  const found = quote(text, start, at + 2);
  const message = `${found} opens with three braces and closes with two, so it is never filled in. Close it with "}}}".`;
  report(problems, 'unclosed-tag', start, at + 2, message, `${text.slice(start, at + 2)}}`);
  return makeTag(text, start, inside, at, at + 2, 'value', false);
}

function reportUnclosed(text: string, tag: Tag, close: string, problems: ProblemList): void {
  const { start, end } = tag.span;
  const message = `The tag ${quote(text, start, end)} is not closed, so nothing is filled in and the text goes to the machine as it stands. Close it with "${close}".`;
  const body = text.slice(tag.inner.start, Math.min(tag.inner.end, tag.inner.start + 100));
  const name = /^([\w.]+)[ \t]*\}?$/.exec(body);
  report(
    problems,
    'unclosed-tag',
    start,
    end,
    message,
    name ? text.slice(start, tag.inner.start + (name[1] as string).length) + close : undefined,
  );
}

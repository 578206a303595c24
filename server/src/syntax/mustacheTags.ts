import { type Span, span } from '../text/span.ts';
import type { Tag } from './nodes.ts';
import { plainOpener, type Search } from './openers.ts';
import { makeTag } from './tagKinds.ts';
import { reportBadDelimiters, reportTwoBraces } from './tagProblems.ts';

// What only the Mustache specification has: tags that set delimiters, and values in three braces.

/** A well-formed set-delimiter tag. It may hold any delimiters, those in force among them (`{{={{ }}=}}`). */
export function delimitersTag(text: string, start: number, body: number, close: string): Tag | null {
  const set = /^=\s*[^\s=]+\s+[^\s=]+\s*=/.exec(text.slice(body, body + 100))?.[0];
  if (set === undefined || !text.startsWith(close, body + set.length)) return null;
  const end = body + set.length;
  return makeTag(text, span(start, end + close.length), body + 1, end, 'delimiters', true);
}

/** Brings the delimiters of a closed tag into force; tells where it gives none. */
export function setDelimiters(s: Search, tag: Tag): Tag {
  const { text } = s;
  const { start, end } = tag.inner;
  const pair = /^(\S+)\s+(\S+)\s*=$/.exec(text.slice(start, Math.min(end, start + 100)));
  const [, open = '', close = ''] = pair ?? [];
  if (open === '' || open.includes('=') || close.includes('=')) reportBadDelimiters(s, tag.span);
  else s.openers = [plainOpener(open, close)];
  return tag;
}

/** `{{{ name }}}`: closed by three braces at `at`. With only two it is still read, and told. */
export function tripleTag(s: Search, start: number, inside: number, at: number): Tag {
  const { text } = s;
  const closed = text.charCodeAt(at + 2) === 125;
  const whole: Span = span(start, at + (closed ? 3 : 2));
  if (!closed) reportTwoBraces(s, start, whole.end);
  return makeTag(text, whole, inside, at, 'value', closed);
}

import type { Span } from '../text/span.ts';
import type { Tag } from './nodes.ts';
import type { Search } from './openers.ts';
import { quote, report } from './problems.ts';

// What is told of tags that cannot be read as meant, at the place where something is missing.

type Told = Pick<Search, 'text' | 'problems'>;

export function reportUnclosed(s: Search, tag: Tag, close: string): void {
  const { text, problems } = s;
  const { start, end } = tag.span;
  // Of openers in a row, with nothing between them, the first is told.
  const follows = s.emptyUntil === start;
  s.emptyUntil = tag.inner.start === tag.inner.end ? end : -1;
  if (follows) return;
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

/** `{{{a}}`, from its start to where its two braces end. */
export function reportTwoBraces({ text, problems }: Told, start: number, end: number): void {
  const found = quote(text, start, end);
  const message = `${found} opens with three braces and closes with two, so it is never filled in. Close it with "}}}".`;
  report(problems, 'unclosed-tag', start, end, message, `${text.slice(start, end)}}`);
}

export function reportBadDelimiters({ text, problems }: Told, { start, end }: Span): void {
  const why =
    'A tag that sets delimiters has the form {{=<% %>=}}: two delimiters without "=", a blank between them, "=" at both ends.';
  report(problems, 'stray-text', start, end, `${quote(text, start, end)} sets no delimiters. ${why}`);
}

/** A statement that begins like one of its language and lacks the rest. */
export function reportHalf({ text, problems }: Told, { start, end }: Span, written: string): void {
  const message = `${quote(text, start, end)} lacks a part, so it cannot be followed. Its vocabulary writes it as "${written}".`;
  report(problems, 'half-statement', start, end, message);
}

export function reportUnclosedRaw({ text, problems }: Told, { span: { start, end } }: Tag, close: string): void {
  const message = `The stretch that ${quote(text, start, end)} begins is never closed, so all that follows is copied as it is and no placeholder in it is filled in. Put ${close} where it is to end.`;
  report(problems, 'unclosed-section', start, end, message);
}

export function reportUnopenedRaw({ text, problems }: Told, { start, end }: Span): void {
  const message = `${quote(text, start, end)} closes a stretch that was never opened. Remove it, or open one before it.`;
  report(problems, 'stray-close', start, end, message);
}

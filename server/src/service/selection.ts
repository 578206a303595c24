import type { Expr } from '../placeholders/expression.ts';
import { placeAt } from '../syntax/at.ts';
import type { Section } from '../syntax/nodes.ts';
import { lineIndex } from '../text/lines.ts';
import { type Span, touches } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { foldings } from './folding.ts';
import { children } from './tagFacts.ts';

/**
 * For each offset what a selection there grows to, smallest first, each holding the one before: in a tag the parts of
 * its expression, then value, word, command, line, section or phase, and the whole text. At least one each.
 */
export function selections(a: Analysis, offsets: readonly number[]): Span[][] {
  const { text } = a.tree;
  const rows = lineIndex(text);
  const folds = foldings(a).map(({ first, last }) => ({ start: rows.start(first), end: rows.end(last) }));
  return offsets.map((given) => {
    const offset = Math.min(Math.max(given, 0), text.length);
    return growing([...spansAt(a, offset), ...folds], offset, text.length);
  });
}

function spansAt(a: Analysis, offset: number): Span[] {
  const { text } = a.tree;
  const { line, command, word, tag, comment, section } = placeAt(a.tree, offset);
  const spans: Span[] = [];
  if (tag) {
    for (let part: Expr | undefined = a.expressions.get(tag)?.expr ?? undefined; part; ) {
      spans.push(part.span);
      part = children(part).find(({ span }) => touches(span, offset));
    }
    spans.push(tag.inner, tag.span);
  }
  if (comment) spans.push(comment.span);
  if (word) spans.push(word.span, ...(word.value ? [word.value.span] : []));
  if (command) spans.push(command.codeSpan, command.span, ...(command.freeText ? [command.freeText] : []));
  const { start, end } = line.span;
  const written = text.slice(start, end);
  spans.push({ start: end - written.trimStart().length, end: start + written.trimEnd().length }, line.span);
  for (let around: Section | null = section; around; around = around.parent) {
    spans.push(around.span, { start: around.open.span.end, end: around.close?.span.start ?? around.span.end });
  }
  return spans;
}

/** Those that hold the offset, each within the next; the whole text comes last. */
function growing(spans: readonly Span[], offset: number, length: number): Span[] {
  const around = spans.filter((span) => span.end > span.start && touches(span, offset));
  around.sort((one, other) => one.end - one.start - (other.end - other.start));
  const chain: Span[] = [];
  for (const span of [...around, { start: 0, end: length }]) {
    const last = chain[chain.length - 1];
    const same = last && last.start === span.start && last.end === span.end;
    if (!same && (!last || (span.start <= last.start && span.end >= last.end))) chain.push(span);
  }
  return chain;
}

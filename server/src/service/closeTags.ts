import { namesIn, parseExpression } from '../placeholders/expression.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import { tagStyleOf } from '../placeholders/vocabulary.ts';
import type { Edit } from '../rules/rule.ts';
import { lastBefore, lineAt } from '../syntax/at.ts';
import { endOf } from '../syntax/forms.ts';
import type { Section, Tree } from '../syntax/nodes.ts';
import { lineIndex } from '../text/lines.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { delimitersAt } from './completeInTag.ts';

/** Closes a tag whose closing delimiter is missing, where all that stands in it is one expression; null otherwise. */
export function closeTagEdit(a: Analysis, span: Span): Edit | null {
  const { text } = a.tree;
  const tag = lastBefore(a.tree.tags, span.start);
  if (
    !tag ||
    tag.span.start !== span.start ||
    tag.closed ||
    tag.inner.start === tag.inner.end ||
    text.startsWith('{{{', tag.span.start)
  )
    return null;
  const { expr } = parseExpression(slice(text, tag.inner), tag.inner.start, languageFor(a.vocabulary));
  // In `part.top + F600` the last name is hardly one.
  if (!expr || namesIn(expr).some(({ name }) => !a.scopes.find(tag, name))) return null;
  const gap = text.charAt(tag.inner.start - 1) === ' ' ? ' ' : '';
  const { close } = delimitersAt(a, tag);
  return { span: { start: tag.inner.end, end: tag.span.end }, text: gap + close };
}

/** Closes a section that is never closed: on its own row where it begins in the middle of one, else where it ends now. */
export function closeSectionEdit(a: Analysis, span: Span): Edit | null {
  const { text } = a.tree;
  const section = lastBefore(a.tree.sections, span.start);
  // Where sections cross, which of them was to end where is for a person to say.
  if (section?.open.span.start !== span.start || section.close || !section.open.closed || hasCrossed(a.tree))
    return null;
  const tag = closingTag(a, section);
  const line = lineAt(a.tree, section.open.span.start);
  const before = text.slice(line.span.start, section.open.span.start);
  const behind = text.slice(section.open.span.end, line.span.end);
  if (before.trim() !== '' || behind.trim() !== '') {
    const most = Math.min(line.comments[0]?.span.start ?? line.span.end, Math.max(line.span.start, section.span.end));
    let end = Math.max(most, section.open.span.end);
    while (end > section.open.span.end && /\s/.test(text.charAt(end - 1))) end--;
    return { span: { start: end, end }, text: tag };
  }
  const eol = slice(text, line.eol) || '\n';
  const rows = rowsOf(a.tree);
  const at = rows.start(rows.position(section.span.end).line);
  // The section around it may be closed in the middle of a row.
  const place = text.slice(at, section.span.end).trim() === '' ? at : section.span.end;
  const own = place === 0 || /[\r\n]/.test(text.charAt(place - 1));
  const last = place === text.length && !own;
  return { span: { start: place, end: place }, text: last ? eol + tag : own ? before + tag + eol : tag };
}

const hasCrossed = once(({ problems }: Tree) => problems.some(({ kind }) => kind === 'crossed-sections'));
const rowsOf = once(({ text }: Tree) => lineIndex(text));

/** As the vocabulary writes it; by the marks of the Mustache specification it repeats the section's text. */
function closingTag(a: Analysis, { open }: Section): string {
  const { text } = a.tree;
  const by = delimitersAt(a, open);
  const end = endOf(tagStyleOf(a.vocabulary).statements, open, text);
  if (end !== null) {
    const gap = slice(text, { start: open.span.start + by.open.length, end: open.span.start + by.open.length + 1 });
    return gap === ' ' ? `${by.open} ${end} ${by.close}` : by.open + end + by.close;
  }
  const inner = slice(text, open.inner);
  const lead = text.charAt(open.inner.start - 1) === ' ' ? ' ' : '';
  const tail = text.charAt(open.inner.end) === ' ' ? ' ' : '';
  const repeats = open.keyword === undefined && !/[\r\n]/.test(inner);
  return `${by.open}/${repeats ? lead + inner + tail : ''}${by.close}`;
}

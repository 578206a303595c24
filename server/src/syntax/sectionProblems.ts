import { endOf } from './forms.ts';
import type { Related, Section, Tag } from './nodes.ts';
import { type ProblemList, quote, report } from './problems.ts';
import { endsOf, statementPair, type TagLanguage } from './tagStyle.ts';

// What is told of tags that open, part or close no section, in the language's own spelling.

/** Where it is told, and how the language closes what is open. */
export interface Told {
  readonly text: string;
  readonly language: TagLanguage;
  readonly problems: ProblemList;
}

export function reportStray(t: Told, tag: Tag, innermost: Section | undefined): void {
  const closing = closingTag(t, innermost);
  const mark = t.language.statements.every(({ is }) => is !== 'end');
  const hint = innermost
    ? ` The section that is open here is ${shown(t, innermost.open)}: close it with ${closing}${mark && closing === '{{/}}' ? ' or repeat its text' : ''}.`
    : ' No section is open here: remove it, or open one before it.';
  const message = `${shown(t, tag)} closes a section that was never opened.${hint}`;
  tell(t, 'stray-close', tag, message, opening(innermost));
}

/** A closing tag whose section ended where the one around it was closed, at `cutBy`. */
export function reportCrossed(t: Told, tag: Tag, opened: Tag, cutBy: Tag | null): void {
  const message = `${shown(t, tag)} comes after the section around it was already closed: sections may nest, but not cross. Close the inner section first.`;
  const related = [{ span: opened.span, message: 'The inner section is opened here.' }];
  if (cutBy) related.push({ span: cutBy.span, message: 'The section around it is closed here.' });
  tell(t, 'crossed-sections', tag, message, related);
}

/** An else, else-if or case without a branch before it that it could go on from. */
export function reportNoBranch(t: Told, tag: Tag, before: Section | undefined): void {
  const closing = closingTag(t, before);
  let why = 'belongs to no section: none is open here. Remove it, or open one before it.';
  if (before?.open.keyword === 'else')
    why = `stands behind ${shown(t, before.open)}, which already takes all other cases. Only ${closing} can follow there: remove it, or move it up.`;
  else if (before)
    why = `does not belong to ${shown(t, before.open)}, which is open here. Close that with ${closing} first, or remove this tag.`;
  tell(t, 'stray-close', tag, `${shown(t, tag)} ${why}`, opening(before));
}

/** @param left How many more there are that are not told. */
export function reportUnclosedSection(t: Told, section: Section, cutBy: Tag | null, left: number): void {
  const more = left > 0 ? ` So it is with ${left} more ${left === 1 ? 'section' : 'sections'}.` : '';
  const message = `The section ${shown(t, section.open)} is never closed. Put ${closingTag(t, section)} where it is to end.${more}`;
  const related = cutBy ? [{ span: cutBy.span, message: 'The section around it is closed here.' }] : [];
  tell(t, 'unclosed-section', section.open, message, related);
}

const shown = ({ text }: Told, { span }: Tag): string => quote(text, span.start, span.end);

function tell(
  t: Told,
  kind: 'stray-close' | 'crossed-sections' | 'unclosed-section',
  tag: Tag,
  message: string,
  related: Related[],
): void {
  report(t.problems, kind, tag.span.start, tag.span.end, message, undefined, related);
}

const opening = (section: Section | undefined): Related[] =>
  section ? [{ span: section.open.span, message: 'The section that is open is opened here.' }] : [];

/** How a section is closed in this language, for messages. */
function closingTag(t: Told, section: Section | undefined): string {
  const opened = section?.subject ?? section?.chain;
  const [open, close] = delimitersOf(t, opened);
  return `${open}${endOf(t.language.statements, opened, t.text) ?? '/'}${close}`;
}

/** The ends that a tag is written with, so that its partner is shown in the same. */
function delimitersOf({ text, language }: Told, tag: Tag | undefined): readonly [string, string] {
  const usual = statementPair(language);
  const own = tag && endsOf(language, text, tag);
  if (own) return [own.open, own.close];
  return usual ? [usual.open, usual.close] : [language.lineMarks[0] ?? '{{', language.lineMarks.length > 0 ? '' : '}}'];
}

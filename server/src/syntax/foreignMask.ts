import type { ForeignRole } from './foreignRoles.ts';
import type { ForeignTag, ForeignTags } from './foreignTags.ts';
import type { TagLanguage } from './tagStyle.ts';

// Foreign tags as tags that the parser knows, each of the same length at the same place, so that every offset stays.

/** Characters for private use (Unicode, 23.5), which no text has for itself. */
const OPEN = '\uE000';
const CLOSE = '\uE001';
const WORDS: Partial<Record<ForeignRole, string>> = {
  open: '\uE002',
  elseIf: '\uE003',
  else: '\uE004',
  close: '\uE005',
};
const PRIVATE = /[\uE000-\uE005]/;

/** The text with each foreign tag as one of the language of `foreignStyle`; null where it has such characters itself. */
export function masked(text: string, { tags }: ForeignTags): string | null {
  if (PRIVATE.test(text)) return null;
  const parts: string[] = [];
  let at = 0;
  for (const tag of tags) {
    parts.push(text.slice(at, tag.span.start), maskOf(tag));
    at = tag.span.end;
  }
  return parts.join('') + text.slice(at);
}

function maskOf({ is, span: { start, end } }: ForeignTag): string {
  const length = end - start;
  if (is === 'other' || length < 2) return ' '.repeat(length);
  const word = length < 3 ? '' : (WORDS[is] ?? '');
  const takes = is === 'value' || is === 'open' || is === 'elseIf';
  const inner = length - 2 - word.length;
  return `${OPEN}${word}${takes ? 'x'.repeat(inner) : ' '.repeat(inner)}${CLOSE}`;
}

/** How a masked text is read: the language's own tags beside the foreign ones. */
export const foreignStyle = (own: TagLanguage): TagLanguage => ({
  ...own,
  pairs: [...own.pairs, { open: OPEN, close: CLOSE, holds: 'anything' }],
  statements: [
    { is: 'if', form: '\uE002' },
    { is: 'elseIf', form: '\uE003' },
    { is: 'else', form: '\uE004' },
    { is: 'end', form: '\uE005' },
  ],
});

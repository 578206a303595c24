import type { Tag } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { slice } from '../../../server/src/text/span.ts';

/**
 * A small Mustache renderer over the syntax tree: texts, flags and standalone tags only. It is here to check the tree
 * against the specification's own cases.
 */
export function render(text: string, data: Readonly<Record<string, string | boolean>>): string {
  const { tags, sections } = parse(text);
  const hides = (at: number): boolean =>
    sections.some(
      (s) => at >= s.open.span.end && at < (s.close?.span.start ?? text.length) && truthOf(s.open) === s.inverted,
    );
  const truthOf = (tag: Tag): boolean => Boolean(data[slice(text, tag.inner)]);

  let out = '';
  let from = 0;
  const copy = (to: number): void => {
    for (; from < to; from++) if (!hides(from)) out += text[from];
  };
  for (const tag of tags) {
    const alone = tag.kind === 'value' ? null : standalone(text, tag);
    copy(alone ? Math.max(from, alone.start) : tag.span.start);
    if (tag.kind === 'value' && !hides(tag.span.start)) out += String(data[slice(text, tag.inner)] ?? '');
    from = alone ? alone.end : tag.span.end;
  }
  copy(text.length);
  return out;
}

/** The rows of a tag that stands alone on them, its end of line included; null where something else is there too. */
function standalone(text: string, tag: Tag): { start: number; end: number } | null {
  const before = /(?:^|[\r\n])([ \t]*)$/.exec(text.slice(0, tag.span.start));
  const behind = /^[ \t]*(\r\n|\n|\r|$)/.exec(text.slice(tag.span.end));
  if (!before || !behind) return null;
  return { start: tag.span.start - (before[1]?.length ?? 0), end: tag.span.end + behind[0].length };
}

import type { Section, Tag, Tree } from '../../../server/src/syntax/nodes.ts';
import { parse } from '../../../server/src/syntax/parse.ts';
import { type GivenTags, languageOf } from '../../../server/src/syntax/tagLanguage.ts';
import { slice } from '../../../server/src/text/span.ts';
import { problemsOf, showLine } from './show.ts';

export const read = (given: GivenTags, text: string): Tree => parse(text, { tags: languageOf(given) });

/** `if <a > 1>`, of a statement with more than one slot `each <parts> ITEM=part`; `!` where it is not closed. */
function showTag(text: string, { keyword, kind, inner, slots = {}, closed, gives }: Tag): string {
  const named = Object.entries(slots).map(([slot, span]) => `${slot}=${slice(text, span)}`);
  const more = named.length > 1 ? ` ${named.sort().join(' ')}` : '';
  const given = gives === undefined ? '' : ` gives ${gives}`;
  return `${keyword ?? kind} <${slice(text, inner)}>${more}${given}${closed ? '' : '!'}`;
}

export const tagsIn = (tree: Tree): string[] => tree.tags.map((tag) => showTag(tree.text, tag));
export const tagsOf = (given: GivenTags, text: string): string[] => tagsIn(read(given, text));

/** The commands of every line. */
export const linesOf = (given: GivenTags, text: string): string[] => {
  const tree = read(given, text);
  return tree.lines.map((line) => showLine(text, line));
};

export const problemsIn = (given: GivenTags, text: string): string[] => problemsOf(read(given, text));

/** `if a > 1 [unless …]` of every section, those inside others with as many points in front. */
export function sectionsOf({ text, sections }: Tree): string[] {
  const depth = (s: Section): number => (s.parent ? 1 + depth(s.parent) : 0);
  return sections.map((s) => {
    const unless = s.unless.map((tag) => slice(text, tag.inner)).join(', ');
    const words = [
      s.open.keyword ?? s.open.kind,
      slice(text, s.open.inner),
      ...(s.subject ? ['of', slice(text, s.subject.inner)] : []),
      ...(unless === '' ? [] : ['unless', unless]),
    ];
    return '.'.repeat(depth(s)) + words.filter((word) => word !== '').join(' ');
  });
}

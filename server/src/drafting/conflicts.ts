import type { Places } from './evidence.ts';
import type { FoundSteering } from './steering.ts';
import type { RawTag } from './tagsIn.ts';

/** More contradictions than these say that the sources are not in one language. */
const MOST = 5;

/** What contradicts itself in the sources, each with both places. */
export function conflictsIn(
  texts: readonly (readonly RawTag[])[],
  steering: FoundSteering,
  shown: (tag: RawTag, source: number) => string,
  places: Places,
): readonly string[] {
  return [
    ...unbalanced(texts, steering, shown, places),
    ...doubleWords(texts, steering, shown, places),
    ...repeated(texts, steering, shown, places),
  ].slice(0, MOST);
}

/** Sections that are not closed, or closed without having been opened. */
function unbalanced(
  texts: readonly (readonly RawTag[])[],
  { roles, unbalanced: odd }: FoundSteering,
  shown: (tag: RawTag, source: number) => string,
  places: Places,
): readonly string[] {
  return odd.flatMap((source) => {
    const open: RawTag[] = [];
    for (const [i, tag] of (texts[source] ?? []).entries()) {
      const role = roles[source]?.[i];
      if (role === 'open') open.push(tag);
      else if (role !== 'close' && role !== 'else' && role !== 'elseIf') continue;
      else if (open.length === 0)
        return [`${shown(tag, source)} on ${places.said(tag.place)} belongs to no section that was opened above it.`];
      else if (role === 'close') open.pop();
    }
    const first = open[0];
    return first
      ? [`${shown(first, source)} on ${places.said(first.place)} opens a section that is never closed.`]
      : [];
  });
}

/** Sections that are repeated without a list, which a vocabulary file cannot say. */
function repeated(
  texts: readonly (readonly RawTag[])[],
  { roles }: FoundSteering,
  shown: (tag: RawTag, source: number) => string,
  places: Places,
): readonly string[] {
  for (const [source, tags] of texts.entries())
    for (const [i, tag] of tags.entries())
      if (roles[source]?.[i] === 'open' && /^[#@]?\s*(repeat|while|until|loop)\b/i.test(tag.content.trim()))
        return [
          `${shown(tag, source)} on ${places.said(tag.place)} seems to repeat what it holds. A vocabulary file can only say that a section is included or left out, or goes through a list.`,
        ];
  return [];
}

const DOES: Readonly<Record<string, string>> = {
  open: 'opens a section',
  elseIf: 'begins another branch of a section',
  else: 'begins another branch of a section',
  close: 'closes a section',
};

/** A word that steers at one place and is a value, or steers in another way, at another. */
function doubleWords(
  texts: readonly (readonly RawTag[])[],
  { roles }: FoundSteering,
  shown: (tag: RawTag, source: number) => string,
  places: Places,
): readonly string[] {
  const first = new Map<string, { does: string; tag: RawTag; source: number }>();
  const told = new Set<string>();
  const found: string[] = [];
  const look = (tag: RawTag, source: number, role: string | undefined): void => {
    const content = tag.content.trim();
    const word = /^[\p{L}_][\p{L}\p{N}_]*(?=$|[\s(])/u.exec(content)?.[0];
    // With more behind it a word of a value is part of an expression.
    if (word === undefined || (role === 'value' && word !== content)) return;
    const does = role === 'value' ? 'is a value' : DOES[role ?? ''];
    if (does === undefined) return;
    const other = first.get(word);
    if (!other) first.set(word, { does, tag, source });
    else if (other.does !== does && !told.has(word)) {
      told.add(word);
      found.push(
        `${said(other.tag, other.source, other.does)}, and ${said(tag, source, does)}. Only one can be meant.`,
      );
    }
  };
  const said = (tag: RawTag, source: number, does: string): string =>
    `${shown(tag, source)} on ${places.said(tag.place)} ${does}`;
  for (const [source, tags] of texts.entries())
    for (const [i, tag] of tags.entries()) look(tag, source, roles[source]?.[i]);
  return found;
}

import { type ForeignTags, findingForeign } from '../syntax/foreignTags.ts';
import type { TagPair } from '../syntax/tagStyle.ts';
import { findTags } from '../syntax/tags.ts';
import type { Pieces } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import { type DraftSource, type Places, type Seen, type SourcePlace, Tally } from './evidence.ts';

/** A tag of one of the sources, before it is known what it does. */
export interface RawTag {
  readonly span: Span;
  /** What stands between the ends, without the blanks there and the signs that trim. */
  readonly content: string;
  readonly pair: TagPair;
  /** Nothing but tags and a comment stands beside it on its line. */
  readonly alone: boolean;
  /** A whole line behind its sign. */
  readonly line: boolean;
  readonly place: SourcePlace;
}

/** A pair of delimiters, or the sign of line statements (its close is then ''). */
export interface FoundPair extends Seen {
  readonly pair: TagPair;
}

/** All that tells a tag from the text around it, over all sources. */
export interface FoundTags {
  readonly pairs: readonly FoundPair[];
  readonly lineMarks: readonly (Seen & { readonly sign: string })[];
  /** Signs directly inside an end that take white space away. */
  readonly trims: readonly (Seen & { readonly sign: string })[];
  /** Forms of numbers that stand behind a close, with N for their digits. */
  readonly formatsBehind: readonly (Seen & { readonly form: string })[];
  /** A sign that touches what it stands in front of, and never anything else: it may trim, or be minus. */
  readonly doubtfulTrim: SourcePlace | null;
  /** For each source its tags, in order. */
  readonly tags: readonly (readonly RawTag[])[];
}

/** More pairs than a vocabulary file may have are not proposed. */
const MOST_PAIRS = 8;

/** Finds the tags of all sources at once: what is proven in one of them counts in the others too. */
export function* findingAllTags(sources: readonly DraftSource[], places: Places): Pieces<FoundTags> {
  const found: (ForeignTags | null)[] = [];
  for (const { text } of sources) found.push(yield* findingForeign(text, { pairs: [], meant: false }));
  const pairs = pairsOf(found);
  const lines = linesOf(sources, found, places);
  const trims = trimsOf(sources, found, places);
  const language = {
    ...{ pairs, lineMarks: [], escapes: [], raw: [], statements: [] },
    trims: trims.signs.map(({ sign }) => sign),
  };
  const tags = sources.map(({ text }, source) => {
    const own = lines.tags[source] ?? [];
    const read = findTags(text, { text, found: [] }, { steps: 0 }, language, MOST_TAGS);
    const between = read.flatMap((tag): RawTag[] => {
      const pair = pairs.find(({ open, close }) => opensAndCloses(text, tag.span, open, close));
      if (!pair || !tag.closed) return [];
      const content = text.slice(tag.inner.start, tag.inner.end);
      return [{ span: tag.span, content, pair, alone: false, line: false, place: places.at(source, tag.span.start) }];
    });
    return withAlone(
      text,
      [...own, ...outside(between, own)].sort((a, b) => a.span.start - b.span.start),
      places,
    );
  });
  const counted = new Tally<TagPair>();
  for (const tag of tags.flat()) if (!tag.line) counted.add(keyOf(tag.pair), tag.pair, tag.place);
  return {
    pairs: counted.list().map(({ what, times, first }) => ({ pair: what, times, first })),
    lineMarks: lines.marks,
    trims: trims.signs,
    doubtfulTrim: trims.doubtful,
    formatsBehind: formatsBehindIn(sources, found, places),
    tags,
  };
}

/** Tags that are looked at in one text. */
const MOST_TAGS = 20_000;

const keyOf = ({ open, close }: TagPair): string => `${open} ${close}`;

const opensAndCloses = (text: string, { start, end }: Span, open: string, close: string): boolean =>
  text.startsWith(open, start) && text.slice(Math.max(start, end - close.length), end) === close;

/** The accepted pairs of all texts, those that open with more first, so that the longest opener is the one meant. */
function pairsOf(found: readonly (ForeignTags | null)[]): readonly TagPair[] {
  const byOpen = new Map<string, TagPair>();
  for (const one of found)
    for (const { pair, line } of one?.tags ?? []) {
      const [open, close] = pair;
      if (line || byOpen.has(open)) continue;
      byOpen.set(open, { open, close, holds: isCommentEnd(open) ? 'comments' : 'values' });
    }
  return [...byOpen.values()]
    .flatMap((pair) => withSign(pair, found))
    .sort((a, b) => b.open.length - a.open.length)
    .slice(0, MOST_PAIRS);
}

/** Where each value begins with = behind its opener (`{=x}`), the sign is part of it, and other tags are another pair. */
function withSign(pair: TagPair, found: readonly (ForeignTags | null)[]): readonly TagPair[] {
  if (pair.close === '' || pair.open === pair.close || pair.open.endsWith('=')) return [pair];
  const values = found.flatMap((one) =>
    (one?.tags ?? []).filter(({ pair: [open], is, line }) => open === pair.open && is === 'value' && !line),
  );
  if (values.length === 0 || !values.every(({ content }) => /^=(?!=)/.test(content))) return [pair];
  const others = found.some((one) =>
    one?.tags.some((tag) => tag.pair[0] === pair.open && !tag.content.startsWith('=')),
  );
  const signed: TagPair = { ...pair, open: `${pair.open}=` };
  return others ? [signed, pair] : [signed];
}

/** Ends that hold remarks: a bracket with a sign of remarks inside (`{#`, `<!--`, `{*`). */
const isCommentEnd = (open: string): boolean => /^[{[<«(]+%?(#|!|\*|!?--)$/.test(open) && !/^#/.test(open);

function linesOf(
  sources: readonly DraftSource[],
  found: readonly (ForeignTags | null)[],
  places: Places,
): { readonly marks: FoundTags['lineMarks']; readonly tags: readonly (readonly RawTag[])[] } {
  const marks = new Tally<string>();
  const tags = sources.map((_, source) =>
    (found[source]?.tags ?? []).flatMap(({ span: at, pair: [sign], content, line }): RawTag[] => {
      if (!line) return [];
      const place = places.at(source, at.start);
      marks.add(sign, sign, place);
      return [
        { span: at, content, pair: { open: sign, close: '', holds: 'statements' }, alone: true, line: true, place },
      ];
    }),
  );
  return { marks: marks.list().map(({ what, times, first }) => ({ sign: what, times, first })), tags };
}

/** Signs directly inside an end, parted from what the tag says by a blank, or where no expression can have them. */
function trimsOf(
  sources: readonly DraftSource[],
  found: readonly (ForeignTags | null)[],
  places: Places,
): { readonly signs: FoundTags['trims']; readonly doubtful: SourcePlace | null } {
  const signs = new Tally<string>();
  let doubtful: SourcePlace | null = null;
  sources.forEach((_, source) => {
    for (const { content, span: at, pair, line } of found[source]?.tags ?? []) {
      // With a sign for an opener or none for a close nothing stands inside an end.
      if (line || pair[0].length < 2 || pair[1].length < 2) continue;
      const inside = /^([-~])(?=\s)/.exec(content)?.[1] ?? /([-~])$/.exec(content)?.[1];
      if (inside !== undefined) signs.add(inside, inside, places.at(source, at.start));
      else if (/^-[\p{L}_]/u.test(content)) doubtful ??= places.at(source, at.start);
    }
  });
  const list = signs.list().map(({ what, times, first }) => ({ sign: what, times, first }));
  return { signs: list, doubtful: list.length > 0 ? null : doubtful };
}

/** `d`, `.Nf`: what the finder takes to a tag behind its close. */
function formatsBehindIn(
  sources: readonly DraftSource[],
  found: readonly (ForeignTags | null)[],
  places: Places,
): FoundTags['formatsBehind'] {
  const forms = new Tally<string>();
  sources.forEach(({ text }, source) => {
    for (const { span: at, pair, content, line } of found[source]?.tags ?? []) {
      const close = at.start + pair[0].length + content.length + pair[1].length;
      if (line || close >= at.end) continue;
      const form = text.slice(close, at.end).replace(/\d+/, 'N');
      forms.add(form, form, places.at(source, at.start));
    }
  });
  return forms.list().map(({ what, times, first }) => ({ form: what, times, first }));
}

/** Tags that lie in no line statement. */
function outside(tags: readonly RawTag[], lines: readonly RawTag[]): readonly RawTag[] {
  let i = 0;
  return tags.filter(({ span: at }) => {
    while (i < lines.length && (lines[i]?.span.end ?? 0) <= at.start) i++;
    return (lines[i]?.span.start ?? Number.POSITIVE_INFINITY) > at.start;
  });
}

/** The tags, each with whether only tags, blanks and a comment stand on its line. */
function withAlone(text: string, tags: readonly RawTag[], places: Places): readonly RawTag[] {
  const told: RawTag[] = [];
  for (let i = 0; i < tags.length; ) {
    const place = tags[i]?.place ?? { source: 0, line: 1 };
    let to = i;
    while (to < tags.length && tags[to]?.place.line === place.line) to++;
    const row = tags.slice(i, to);
    const alone = restIsBlank(
      text,
      row.map((tag) => tag.span),
      places.row(place),
    );
    told.push(...row.map((tag) => ({ ...tag, alone: tag.line || alone })));
    i = to;
  }
  return told;
}

/** More of a line is not looked at. */
const MOST_BESIDE = 400;

function restIsBlank(text: string, spans: readonly Span[], row: Span): boolean {
  const end = spans.at(-1)?.end ?? row.start;
  const between = spans.map((at, i) =>
    text.slice(Math.max(spans[i - 1]?.end ?? row.start, at.start - MOST_BESIDE), at.start),
  );
  const behind = text.slice(end, Math.max(end, Math.min(row.end, end + MOST_BESIDE)));
  // A comment may follow; tags in one are not alone.
  return between.every((part) => part.trim() === '') && /^\s*(;.*|\([^)]*\)\s*)?$/s.test(behind);
}

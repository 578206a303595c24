import type { TagLanguage, TagPair } from '../syntax/tagStyle.ts';
import type { DraftSource, Places, Seen } from './evidence.ts';
import { Tally } from './evidence.ts';
import type { FoundSteering } from './steering.ts';
import type { FoundPair, FoundTags } from './tagsIn.ts';

/** How the sources write their tags, with what each part of it was concluded from. */
export interface FoundStyle {
  readonly pairs: readonly FoundPair[];
  readonly escapes: readonly (Seen & { readonly written: string; readonly gives: string })[];
  readonly language: TagLanguage;
}

/** Puts together what was found of tags and of what steers. */
export function styleOf(
  sources: readonly DraftSource[],
  tags: FoundTags,
  { statements, roles, marks }: FoundSteering,
  places: Places,
): FoundStyle {
  const pairs = withHolds(tags, roles, marks && statements.length > 0);
  const escapes = escapesIn(sources, pairs, places);
  return {
    pairs,
    escapes,
    language: {
      pairs: pairs.map(({ pair }) => pair),
      lineMarks: tags.lineMarks.map(({ sign }) => sign),
      escapes: escapes.map(({ written, gives }) => ({ written, gives })),
      raw: [],
      trims: tags.trims.map(({ sign }) => sign),
      statements: statements.map(({ is, form }) => ({ is, form })),
    },
  };
}

/** Each pair with what it holds: of several, those that only give values and those that only steer are told apart. */
function withHolds({ pairs, tags }: FoundTags, roles: FoundSteering['roles'], remarks: boolean): readonly FoundPair[] {
  const kinds = new Map<string, { values: number; others: number; remark: Seen | null }>();
  tags.forEach((list, n) => {
    list.forEach(({ pair, content, line, place }, i) => {
      if (line || pair.holds === 'comments') return;
      const is = roles[n]?.[i] ?? 'value';
      const one = kinds.get(pair.open) ?? { values: 0, others: 0, remark: null };
      if (is === 'value') one.values++;
      else if (/^!/.test(content)) one.remark ??= { times: 1, first: place };
      else one.others++;
      kinds.set(pair.open, one);
    });
  });
  const plain = pairs.filter(({ pair }) => pair.holds !== 'comments');
  const holdsOf = ({ open, holds }: TagPair): TagPair['holds'] => {
    if (holds === 'comments') return holds;
    const { values = 0, others = 0 } = kinds.get(open) ?? {};
    if (plain.length < 2) return 'anything';
    return others === 0 ? 'values' : values === 0 ? 'statements' : 'anything';
  };
  return pairs.flatMap((found): FoundPair[] => {
    const pair = { ...found.pair, holds: holdsOf(found.pair) };
    // Beside statements in words the mark ! of remarks is a pair of its own.
    const remark = remarks || plain.length > 1 ? kinds.get(pair.open)?.remark : null;
    const more: FoundPair[] = remark
      ? [{ pair: { open: `${pair.open}!`, close: pair.close, holds: 'comments' }, ...remark }]
      : [];
    return [{ ...found, pair }, ...more];
  });
}

/** A sign written twice where no tag can be meant: the sign itself. */
function escapesIn(
  sources: readonly DraftSource[],
  pairs: readonly FoundPair[],
  places: Places,
): FoundStyle['escapes'] {
  const found = new Tally<{ written: string; gives: string }>();
  for (const { pair } of pairs) {
    const sign = pair.open.charAt(0);
    // A bracket written twice may open another tag, and with equal ends it is an empty one.
    if (!/[$%#@&]/.test(sign) || pair.open === pair.close) continue;
    const twice = sign + sign;
    if (pairs.some((one) => one.pair.open.startsWith(twice))) continue;
    sources.forEach(({ text }, source) => {
      for (let at = text.indexOf(twice); at >= 0; at = text.indexOf(twice, at + 2))
        if (!text.startsWith(pair.open, at + 1) || pair.close === '')
          found.add(twice, { written: twice, gives: sign }, places.at(source, at));
    });
  }
  return found.list().map(({ what, times, first }) => ({ ...what, times, first }));
}

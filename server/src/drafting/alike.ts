import { findingForeign } from '../syntax/foreignTags.ts';
import type { Pieces } from '../text/pieces.ts';
import type { DraftSource } from './evidence.ts';

/** More texts than these show nothing new. */
const MOST = 8;

/** Of other texts those with tags in the delimiters of the first one, with that one in front of them. */
export function* findingAlike(first: DraftSource, others: Iterable<DraftSource>): Pieces<readonly DraftSource[]> {
  const opens = yield* opensIn(first.text);
  const alike = [first];
  for (const other of others) {
    if (opens.size === 0 || alike.length >= MOST) break;
    const own = yield* opensIn(other.text);
    if ([...own].some((open) => opens.has(open))) alike.push(other);
  }
  return alike;
}

function* opensIn(text: string): Pieces<ReadonlySet<string>> {
  const found = yield* findingForeign(text, { pairs: [], meant: false });
  return new Set(found?.pairs.map(([open]) => open) ?? []);
}

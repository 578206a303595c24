import type { NotFollowed } from '../service/notFollowed.ts';
import type { Analysis, Engine } from './engine.ts';
import { canonical } from './uri.ts';

/** What a text tells the vocabulary file that it is read with. */
interface Told {
  /** Canonical. */
  readonly uri: string;
  readonly all: readonly NotFollowed[];
}

/** A checked document as far as this goes. */
interface Checked {
  readonly choice: { readonly names: { readonly uri: string | null } } | null;
  readonly analysis: Analysis | null;
}

/** What open sequences have of their language that cannot be followed, for the vocabulary files that describe it. */
export interface NotFollowedBook {
  /** What a checked text tells; null: nothing. It is not kept: of a large text one analysis at a time is enough. */
  by(checked: Checked | undefined): Told | null;
  /** What a vocabulary file is told by all open texts. */
  to(uri: string): readonly NotFollowed[];
  /** Says where a text tells something else than before. */
  tell(before: Told | null, now: Told | null): void;
}

/** @param results The open documents as checked last. */
export function makeNotFollowed(
  engine: Pick<Engine, 'notFollowed'>,
  results: ReadonlyMap<string, Checked>,
  changed: (uri: string) => void,
): NotFollowedBook {
  const by = (checked: Checked | undefined): Told | null => {
    const uri = checked?.choice?.names.uri ?? null;
    const all = checked?.analysis && uri !== null ? engine.notFollowed(checked.analysis) : [];
    return uri === null || all.length === 0 ? null : { uri: canonical(uri), all };
  };
  return {
    by,
    to: (uri) =>
      [...results.values()].flatMap((checked) => {
        const told = by(checked);
        return told?.uri === canonical(uri) ? told.all : [];
      }),
    tell(before, now) {
      if (before?.uri === now?.uri && sameList(before?.all ?? [], now?.all ?? [])) return;
      for (const uri of new Set([before, now].flatMap((told) => told?.uri ?? []))) changed(uri);
    },
  };
}

export const sameList = (a: readonly NotFollowed[], b: readonly NotFollowed[]): boolean =>
  a === b || (a.length === b.length && a.every(({ is, written }, i) => is === b[i]?.is && written === b[i].written));

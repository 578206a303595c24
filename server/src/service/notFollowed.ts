import { findNodeAtLocation } from 'jsonc-parser';
import { readJson } from '../machineFile/json.ts';
import { spanOf } from '../machineFile/walk.ts';
import type { Unfollowed } from '../placeholders/expression.ts';
import type { Finding, View } from '../rules/rule.ts';
import { once } from '../text/once.ts';
import { slice, span } from '../text/span.ts';

// What a placeholder language has and Bookend cannot follow: no fault of a text, and told once, in the vocabulary file.

/** Something in tags that cannot be followed; plain data. */
export interface NotFollowed {
  readonly is: Unfollowed['is'] | 'statement';
  readonly written: string;
}

/** More of them are one description that does not fit, and a longer list helps nobody. */
const MOST = 10;
const LONGEST = 60;

/** What of a text's tags cannot be followed, each thing once, in the order of the text. */
export const notFollowedIn = once(
  ({ tree, expressions }: Pick<View, 'tree' | 'expressions'>): readonly NotFollowed[] => {
    const found = new Map<string, NotFollowed>();
    const add = (is: NotFollowed['is'], written: string): void => {
      if (found.size < MOST) found.set(`${is} ${written}`, { is, written: written.slice(0, LONGEST) });
    };
    for (const tag of tree.tags) {
      if (tag.kind === 'foreign' && tag.closed) add('statement', slice(tree.text, tag.inner));
      const read = expressions.get(tag);
      if (!read?.remark) for (const { is, written } of read?.unfollowed ?? []) add(is, written);
    }
    return [...found.values()];
  },
);

/** The findings of a vocabulary file about what texts have of its language and Bookend cannot follow. */
export function notFollowedFindings(vocabularyText: string, all: readonly NotFollowed[]): Finding[] {
  const distinct = new Map(all.map((one) => [`${one.is} ${one.written}`, one]));
  if (distinct.size === 0) return [];
  const { root } = readJson(vocabularyText, 'vocabulary');
  const at = (...path: string[]) => {
    const node = root && findNodeAtLocation(root, path)?.parent?.children?.[0];
    return node && spanOf(node);
  };
  const start = root?.offset ?? 0;
  const first = span(start, Math.min(start + 1, vocabularyText.length));
  const places: Readonly<Record<NotFollowed['is'], typeof first>> = {
    function: at('expressions', 'functions') ?? at('expressions') ?? first,
    form: at('expressions') ?? first,
    statement: at('keywords') ?? first,
  };
  return [...distinct.values()].slice(0, MOST).map((one) => ({
    rule: 'vocabulary-file',
    severity: 'info',
    span: places[one.is],
    message: messageOf(one),
    when: null,
  }));
}

function messageOf({ is, written }: NotFollowed): string {
  switch (is) {
    case 'function':
      return `Sequences call the function “${written}”, which is not declared, so its result counts as unknown. Add it to expressions.functions with the function that it stands for, or what it gives: { "gives": "number" }.`;
    case 'form':
      return `“${written}” in a sequence is no expression of the language as it is described here, so its value counts as unknown. Describe its operators under expressions, or correct the sequence.`;
    default:
      return `“${written}” in a sequence is none of the statements described here, so any text may stand there. Add its words to keywords.`;
  }
}

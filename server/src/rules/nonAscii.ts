import { findRecordWord } from '../commands/record.ts';
import { lineAt, tokenAt } from '../syntax/at.ts';
import { TokenKind } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import { inAscii } from './lookAlikes.ts';
import type { Rule, View } from './rule.ts';

/** Characters that controllers do not know, in texts other than comments and messages. */
export const nonAscii: Rule = {
  id: 'non-ascii',
  severity: 'info',
  title: 'A character outside ASCII in a name or value',
  scope: 'line',
  check(view, report) {
    const { tree } = view;
    // biome-ignore lint/suspicious/noControlCharactersInRegex: ASCII is what it is about.
    const odd = /[^\x00-\x7f]+/g;
    let behind = -1;
    let problem = 0;
    for (const match of tree.text.matchAll(odd)) {
      if (match.index < behind) continue;
      const token = tokenAt(tree, match.index);
      if (!token || !(TEXTS as readonly number[]).includes(token.kind)) continue;
      behind = token.span.end;
      const { problems } = tree;
      while ((problems[problem]?.span.end ?? Number.POSITIVE_INFINITY) <= match.index) problem++;
      // Told already, as a number or as text that belongs nowhere.
      if ((problems[problem]?.span.start ?? Number.POSITIVE_INFINITY) <= match.index) continue;
      if (isMessage(view, match.index)) continue;
      report({
        span: token.span,
        message: `“${match[0]}” is not ASCII, and most controllers read it as something else. Use plain letters and digits.`,
      });
    }
  },
  fix({ tree }, { span }) {
    const plain = inAscii(slice(tree.text, span));
    return plain === null || plain === slice(tree.text, span)
      ? []
      : [{ title: `Write ${plain}`, edits: [{ span, text: plain }], safe: false, preferred: true }];
  },
};

/** Tokens that hold text which a controller reads. */
const TEXTS = [TokenKind.string, TokenKind.freeText, TokenKind.name] as const;

/**
 * Whether a text at this place is meant for people: behind M117 and its kin; in quotes, for a word that takes a text; or
 * with a blank in it, as sentences have it and names seldom do. Common practice, no source.
 */
function isMessage({ bound, tree }: View, at: number): boolean {
  const command = bound.at(lineAt(tree, at), at);
  const { record } = command ?? {};
  if (record?.freeText && (record.family === 'messages' || record.group === 'stopping')) return true;
  const word = command?.words.find(({ span }) => span.start <= at && at < span.end);
  const value = word?.value ? slice(tree.text, word.value.span) : '';
  if (!value.startsWith('"')) return false;
  return /\s/.test(value) || (record != null && findRecordWord(record, word?.key ?? '')?.unit === 'text');
}

import { lineAt, placeAt } from '../syntax/at.ts';
import { type Span, touches } from '../text/span.ts';
import type { Analysis } from './analyze.ts';
import { boundOf, ownerOf } from './steps.ts';

/** A long program has tens of thousands of them; these many around the cursor are shown. */
const MOST = 1000;

/**
 * Every place of the command or of the word at an offset: the same code; the same axis, E or F under whatever command;
 * any other word under the same command only, since an S here is no S there. In the order of the text; empty where
 * neither stands there. Placeholder names are `usesOf`.
 */
export function highlights(a: Analysis, offset: number): Span[] {
  if (!(offset >= 0 && offset <= a.tree.text.length)) return [];
  const { command, word, tag, comment } = placeAt(a.tree, offset);
  if (tag || (comment && offset > comment.span.start)) return [];
  const line = lineAt(a.tree, offset);
  const owner = word && word !== line.number ? ownerOf(a, line, word) : undefined;
  if (word && owner && word.key !== '' && !isCode(owner.node.codeSpan, word.span)) {
    const shared = AXES.has(word.key) && !owner.node.named;
    const found = a.commands.flatMap(({ code, node, words }) =>
      (shared ? !node.named : code === owner.code)
        ? words
            .filter(({ key, span }) => key === word.key && !isCode(node.codeSpan, span))
            .map(({ keySpan }) => keySpan)
        : [],
    );
    return near(found, offset);
  }
  if (!command || !touches(command.codeSpan, offset) || command.codeSpan.start === command.codeSpan.end) return [];
  const code = boundOf(a, line, command)?.node.code;
  if (!code) return [];
  const same = a.tree.lines.flatMap(({ commands }) => commands.filter((one) => one.code === code));
  return near(
    same.map(({ codeSpan }) => codeSpan),
    offset,
  );
}

/** Letters that mean the same under every command that moves (NISTIR 6556 Table 3; E by printing practice). */
const AXES: ReadonlySet<string> = new Set(['X', 'Y', 'Z', 'E', 'F']);

/** The number of `T0` is the command itself. */
const isCode = (code: Span, word: Span): boolean => code.start === word.start && code.end > code.start;

function near(spans: Span[], offset: number): Span[] {
  spans.sort((one, other) => one.start - other.start);
  if (spans.length <= MOST) return spans;
  const behind = spans.findIndex(({ start }) => start > offset);
  const from = Math.max(0, (behind < 0 ? spans.length : behind) - MOST / 2);
  return spans.slice(from, from + MOST);
}

import type { Finding } from '../rules/rule.ts';
import { didYouMean } from '../rules/say.ts';
import { lineAt } from '../syntax/at.ts';
import type { Line, Tree } from '../syntax/nodes.ts';
import { nearest } from '../text/nearest.ts';
import { type Span, slice } from '../text/span.ts';

// Comments by which a person says that a rule does not count at a place:
//   G1 Z-0.1 ; bookend-ignore beyond-reach: the probe's plate gives way
//   ; bookend-ignore-next-line off-bed, in-keep-out: the brush stands there
//   ; bookend-ignore-file no-feed: the controller has a feed of its own
// A tag comment {{! … }} does the same, and is not sent to the machine.

/** How such a comment begins. */
export const IGNORE_WORD = 'bookend-ignore';
/** The same where it speaks of the line behind it. */
export const IGNORE_NEXT = `${IGNORE_WORD}-next-line`;
/** The same where it speaks of the whole text. */
export const IGNORE_FILE = `${IGNORE_WORD}-file`;
const IGNORE = /bookend-ignore(-next-line|-file)?(?![\w-])[ \t]*([a-z][a-z-]*(?:[ \t]*,[ \t]*[a-z][a-z-]*)*)?/g;

/** One rule that one comment switches off. */
interface Ignore {
  /** '' where the comment names none. */
  readonly rule: string;
  readonly span: Span;
  readonly reason: boolean;
  /** The line on which it counts; null: everywhere. */
  readonly line: number | null;
}

export interface Suppressed {
  readonly findings: readonly Finding[];
  /** Findings that a comment switched off. */
  readonly ignored: readonly Finding[];
}

/** The rules that comments of this text switch off on one line. */
export const ignoredOn = (tree: Tree, { index }: Line): ReadonlySet<string> =>
  new Set(ignoresIn(tree).flatMap(({ rule, line }) => (line === index ? [rule] : [])));

/** What a rule knows of the others: their ids, and the places that are open. */
export interface Others {
  readonly ids: ReadonlySet<string>;
  readonly open: readonly { readonly rule: string; readonly span: Span }[];
}

/**
 * Takes out the findings that a comment switches off, and adds a finding for each comment that switches nothing off.
 * What the comments say is about findings alone: a verdict stays what it is.
 */
export function suppress(tree: Tree, findings: readonly Finding[], others: Others): Suppressed {
  const ignores = ignoresIn(tree);
  if (ignores.length === 0) return { findings, ignored: [] };
  const placeOf = (rule: string, line: number | null): string => `${rule} ${line}`;
  const there = new Set(ignores.map((one) => placeOf(one.rule, one.line)));
  const used = new Set<string>();
  const isOff = ({ rule, span }: { readonly rule: string; readonly span: Span }): boolean => {
    const places = [placeOf(rule, null), placeOf(rule, lineAt(tree, span.start).index)].filter((one) => there.has(one));
    for (const place of places) used.add(place);
    return places.length > 0;
  };
  const left: Finding[] = [];
  const ignored: Finding[] = [];
  for (const finding of findings) (isOff(finding) ? ignored : left).push(finding);
  // What could not be decided may well happen: a comment about it is of use.
  for (const open of others.open) isOff(open);
  const notes = ignores.flatMap((one) =>
    note(one, used.has(placeOf(one.rule, one.line)), others.ids, tree.rest !== null),
  );
  const all = [...left, ...notes].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
  return { findings: all, ignored };
}

function note(
  { rule, span, reason, line }: Ignore,
  used: boolean,
  ids: ReadonlySet<string>,
  isPart: boolean,
): Finding[] {
  const say = (message: string, severity: Finding['severity'] = 'warning'): Finding[] => [
    { rule: 'unused-ignore', severity, span, message, when: null },
  ];
  if (rule === '')
    return say(
      'This comment names no rule, so nothing is ignored. Write the rule’s id behind it, then a colon and why.',
    );
  if (!ids.has(rule))
    return say(`There is no rule ${rule}, so nothing is ignored.${didYouMean(nearest(rule, [...ids]))}`);
  const where = line === null ? 'in this text' : 'on that line';
  // What it is about may stand in what was not read, or be seen from there only.
  if (!used && isPart) return [];
  if (!used) return say(`${rule} finds nothing ${where} any more, so there is nothing to ignore. Take this out.`);
  return reason ? [] : say(`Say why ${rule} may be ignored here: write a colon and the reason behind it.`, 'hint');
}

function ignoresIn(tree: Tree): Ignore[] {
  if (!tree.text.includes(IGNORE_WORD)) return [];
  const ignores: Ignore[] = [];
  const read = (span: Span, line: Line): void => {
    const text = slice(tree.text, span);
    for (const found of text.matchAll(IGNORE)) ignores.push(...ignoresOf(tree, line, span, text, found));
  };
  for (const line of tree.lines) for (const { span } of line.comments) read(span, line);
  for (const tag of tree.tags) if (tag.kind === 'comment') read(tag.span, lineAt(tree, tag.span.start));
  return ignores;
}

function ignoresOf(tree: Tree, line: Line, comment: Span, text: string, found: RegExpExecArray): Ignore[] {
  const [whole, scope, list] = found;
  const start = comment.start + found.index;
  const reason = /^[\s:–—-]*[^\s:–—)}-]/.test(text.slice(found.index + whole.length));
  const at = scope === '-file' ? null : scope === '-next-line' ? nextLine(tree, line) : line.index;
  if (!list) return [{ rule: '', span: { start, end: start + whole.trimEnd().length }, reason, line: at }];
  const listStart = start + whole.length - list.length;
  return [...list.matchAll(/[a-z][a-z-]*/g)].map((id) => {
    const from = listStart + id.index;
    return { rule: id[0], span: { start: from, end: from + id[0].length }, reason, line: at };
  });
}

/** The next line with a command: comments and blank lines between do not count. */
function nextLine({ lines }: Tree, { index }: Line): number {
  let next = index + 1;
  while (lines[next]?.commands.length === 0) next++;
  return next;
}

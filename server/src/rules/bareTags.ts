import type { BoundCommand } from '../commands/bind.ts';
import { findRecordWord } from '../commands/record.ts';
import { mayBeNoNumber } from '../placeholders/kinds.ts';
import { tagValue } from '../placeholders/tags.ts';
import type { Value } from '../placeholders/value.ts';
import type { Step } from '../simulate/trace.ts';
import { encloses, lineAt, sectionAt, tagAt } from '../syntax/at.ts';
import type { Line, Tag, Word } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { type Span, slice } from '../text/span.ts';
import type { View } from './rule.ts';
import { wordsOf } from './words.ts';

/** A tag that alone stands where a word or a command belongs, in a step in which it is filled in. */
export interface BareTag {
  readonly tag: Tag;
  readonly step: Step;
  readonly value: Value;
}

/** Every such tag of a run. */
export function bareTags(view: View): BareTag[] {
  const { tree, expressions } = view;
  if (expressions.size === 0) return [];
  return view.trace.dependent.flatMap((step) => {
    const places = wordsOf(step).flatMap(({ key, value }) => {
      const [part, more] = key === '' && value?.type === 'filled' ? value.parts : [];
      return part && !more && 'type' in part ? [part.span.start] : [];
    });
    const { code, codeSpan } = step.command.node;
    if (code === null) places.push(codeSpan.start);
    return places.flatMap((at) => {
      const tag = tagAt(tree, at);
      if (!tag?.closed || tag.kind !== 'value' || tag.span.start !== at || !isAlone(view, tag)) return [];
      return [{ tag, step, value: tagValue(tag, expressions, step.within.env) }];
    });
  });
}

/** Whether nothing more of the same word stands behind a tag. */
function isAlone({ tree }: View, tag: Tag): boolean {
  let { end } = tag.span;
  for (let next = tagAt(tree, end); next && next.kind !== 'value' && next.span.start === end; next = tagAt(tree, end))
    end = next.span.end;
  return /^[\s;(]?$/.test(tree.text.charAt(end));
}

/**
 * Why the silence of any rule says nothing of this text: part of what the machine gets is not read here. null: all is.
 */
export const unread = once(unreadIn);

function unreadIn(view: View): string | null {
  if (view.expressions.size === 0) return null;
  const text = bareTags(view).find(({ value: { type } }) => type !== 'number');
  if (text)
    return `what “${slice(view.tree.text, text.tag.inner)}” is filled in as is read by the machine as commands or words, and is not known here`;
  const coded = view.commands.find((command) => command.node.code === null && !isBare(view, command));
  if (coded) return `which command “${slice(view.tree.text, coded.node.codeSpan)}” is hangs on the job`;
  const shared = view.commands.find(hasSharedWords);
  if (shared)
    return `“${slice(view.tree.text, shared.node.codeSpan)}” stands in a section and some of its words do not: which command takes them hangs on the job`;
  const torn = view.commands.find(({ words }) => words.some(isTorn));
  if (torn)
    return `part of a word of “${slice(view.tree.text, torn.node.codeSpan)}” stands in a section and the rest does not: what it becomes hangs on the job`;
  if (isMotionOpen(view)) return 'which motion a line without a command goes on with hangs on the job';
  const odd = textInNumber(view);
  if (odd)
    return `“${slice(view.tree.text, odd.inner)}” is filled in as letters where a number belongs, and what the machine makes of the rest of the line is not known`;
  return linesWithSections(view).some((line) => toTheEnd(line).some((span) => leaves(view, line, span)))
    ? 'a comment or a text begins in a section that closes on the same line: where the section is left out, the rest of the line is none'
    : null;
}

/** Whether a command is nothing but a tag. */
function isBare({ tree }: View, { node: { codeSpan }, words }: BoundCommand): boolean {
  if (words.length > 0) return false;
  const tag = tagAt(tree, codeSpan.start);
  return tag?.span.start === codeSpan.start && tag.span.end === codeSpan.end;
}

/** Whether a line that gives words only goes on with a motion that is not the one that the run took, or not in every job. */
function isMotionOpen({ commands, trace }: View): boolean {
  // Those of an unknown motion, and F alone, which is a command of its own.
  if (!commands.some(isLoose)) return false;
  const moves = commands.filter(({ node, record }) => record?.group === 'motion' || node.code === '');
  if (moves.every(({ node }) => node.section === null)) return false;
  // The run knows which motion holds where each that is stated is one that it goes on with.
  const known = moves.every(
    ({ record }) => record?.effects.length === 1 && record.effects.every(({ do: is }) => GOES_ON.has(is)),
  );
  return !known || trace.steps.some(({ command, before }) => isLoose(command) && before.motion !== command.code);
}

const isLoose = ({ node, code }: BoundCommand): boolean => node.code === '' && code !== 'F';

const GOES_ON: ReadonlySet<string> = new Set(['line', 'arc', 'curve', 'feed']);

/** Whether words of a command are there where it may not be: they stand outside of the section that holds it. */
export function hasSharedWords({ node: { section: own }, words, sectioned }: BoundCommand): boolean {
  return sectioned && own !== null && words.some(({ section }) => !encloses(own, section));
}

/** Whether a word's letter stands in a section, and what belongs to it goes on behind that. */
const isTorn = ({ section, span }: Word): boolean =>
  section !== null && section.close !== null && span.end > section.close.span.start;

/** A tag that may give a text, or true or false, within a word that takes a number. */
function textInNumber({ trace, expressions }: View): Tag | null {
  for (const step of trace.dependent) {
    const { command, within } = step;
    if (!command.record) continue;
    for (const { key, value } of wordsOf(step)) {
      if (value?.type !== 'filled' || findRecordWord(command.record, key)?.text) continue;
      for (const part of value.parts) {
        if (!('type' in part) || part.kind !== 'value') continue;
        const expr = expressions.get(part)?.expr;
        if (expr && mayBeNoNumber(expr, within.env)) return part;
      }
    }
  }
  return null;
}

/** The lines on which sections begin. */
const linesWithSections = ({ tree }: View): Line[] => [
  ...new Set(tree.sections.map(({ open }) => lineAt(tree, open.span.start))),
];

/** What takes what stands behind it: comments, which go to the end of the line or to a bracket, a command's free text. */
const toTheEnd = ({ comments, commands }: Line): Span[] => [
  ...comments.map(({ span }) => span),
  ...commands.flatMap(({ freeText }) => (freeText ? [freeText] : [])),
];

/** Whether such a stretch goes on behind the section in which it began. */
function leaves({ tree }: View, line: Line, span: Span): boolean {
  for (let s = sectionAt(tree, span.start); s && s.span.start >= line.span.start; s = s.parent)
    if (s.span.end <= span.end && /\S/.test(tree.text.slice(s.span.end, span.end))) return true;
  return false;
}

import type { BoundCommand } from '../commands/bind.ts';
import { spellerOf, tagWith } from '../placeholders/limited.ts';
import { lineAt } from '../syntax/at.ts';
import type { Line, Tree, Word } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import { slice } from '../text/span.ts';
import { commandsThat } from './byLine.ts';
import { linesAbove, linesAtEnd, linesBelow, withoutLine } from './edits.ts';
import type { Edit, View } from './rule.ts';

// Whole lines that fixes add or move.

/** Whether nothing fills this text in any more: a finished program, or a part of one. */
const isFilled = ({ vocabulary, tree, role }: View): boolean =>
  vocabulary.filled === true || (role === 'program' && tree.tags.length === 0);

/**
 * A tag for a built-in name as this text’s language writes it: `{{ heat.bed.first }}`; null where there is no such name here, or
 * where a tag would be of no use.
 */
export function tagOf(view: View, builtIn: string): string | null {
  const name = nameFor(view, builtIn);
  return name === null ? null : tagWith(view.vocabulary, spellerOf(view.vocabulary).name(name));
}

/** What a built-in name is called in the tags of this text; null where no tag here may have it. */
export function nameFor(view: View, builtIn: string): string | null {
  if (isFilled(view)) return null;
  const { vocabulary, tree, role } = view;
  const name = vocabulary.names.get(vocabulary.standIns?.get(builtIn) ?? builtIn);
  if (!name || name.hidden || (name.roles && !name.roles.includes(role)) || setsDelimiters(tree)) return null;
  return name.name;
}

const setsDelimiters = once(({ tags }: Tree) => tags.some(({ kind }) => kind === 'delimiters'));

/** Whether some section is never closed: what is added at the end then belongs to it. */
export const hasOpenSection = once(({ sections }: Tree) => sections.some(({ close }) => !close));

/** Whether rows may be added anywhere: it was read without problems, its lines are not numbered, and it is not cut short. */
export const isPlain = ({ tree }: View): boolean => tree.problems.length === 0 && !isNumbered(tree);

/** Whether some line has a number or a checksum. */
export const isNumbered = once(({ lines }: Tree) => lines.some((line) => line.number ?? line.checksum));

/** Whether edits put rows without a number into a text with numbered lines, or change a line under its checksum. */
export function breaksNumbers(tree: Tree, edits: readonly Edit[]): boolean {
  if (!isNumbered(tree)) return false;
  return edits.some(({ span, text }) => /[\r\n]/.test(text) || Boolean(lineAt(tree, span.start).checksum));
}

/** Whether the machine's controller has all of these commands. */
export const hasAll = ({ catalog }: View, codes: readonly string[]): boolean =>
  codes.every((code) => !catalog.isMissing(code));

/** The line of a command that stands alone on it, outside sections; null otherwise. */
export const ownLine = ({ line, node }: BoundCommand): Line | null =>
  line.commands.length === 1 && node.section === null && !line.number && !line.checksum ? line : null;

/** Moves the line of one command above or below that of another; null where either is not a line of its own. */
export function movedLine(view: View, moved: BoundCommand, to: BoundCommand, where: 'above' | 'below'): Edit[] | null {
  const [from, place] = [ownLine(moved), ownLine(to)];
  if (!from || !place || from === place) return null;
  const row = slice(view.tree.text, from.span).trim();
  const added = (where === 'above' ? linesAbove : linesBelow)(view, place.span.start, [row]);
  const edits = [added, withoutLine(view, from.span.start)];
  return from.index < place.index ? edits.reverse() : edits;
}

const STOPS = commandsThat(({ record }) => Boolean(record?.effects.some((effect) => effect.do === 'stop')));

/**
 * Adds rows where a sequence ends: above its program end, above motors that are switched off in the last line, or
 * at the end of the text. null: some jobs end earlier than others, or the program end shares its line.
 */
export function rowsWhereItEnds(view: View, rows: readonly string[]): Edit | null {
  const [stop] = STOPS(view).items;
  if (stop) return ownLine(stop) && linesAbove(view, stop.line.span.start, rows);
  const last = view.commands.at(-1);
  if (last?.record?.effects.some((effect) => effect.do === 'motors' && !effect.on) && ownLine(last))
    return linesAbove(view, last.line.span.start, rows);
  return linesAtEnd(view, rows);
}

/** The text of a word's value, where it can be repeated elsewhere: a number, or one name that is a temperature. */
export function repeatable({ tree, expressions, vocabulary }: View, { value }: Word): string | null {
  if (!value) return null;
  const text = slice(tree.text, value.span);
  if (value.type === 'number') return text;
  const [part, more] = value.type === 'filled' ? value.parts : [];
  if (!part || more || !('type' in part)) return null;
  const expr = expressions.get(part)?.expr;
  return expr?.type === 'name' && vocabulary.names.get(expr.name)?.kind === 'temperature' ? text : null;
}

import { readJson, soleValue } from '../machineFile/json.ts';
import { visible } from '../placeholders/environment.ts';
import { type Expr, namesIn } from '../placeholders/expression.ts';
import { firstContact } from '../placeholders/firstContact.ts';
import { languageFor } from '../placeholders/languageFor.ts';
import { spellerOf, tagWith } from '../placeholders/limited.ts';
import { type Spelt, tieOf } from '../placeholders/spell.ts';
import { type Expressions, readExpressions } from '../placeholders/tags.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import type { Tag, Tree } from '../syntax/nodes.ts';
import { parse } from '../syntax/parse.ts';
import type { StatementForm, StatementKind } from '../syntax/tagStyle.ts';
import { statementText, type WrittenStatement } from '../syntax/writeStatement.ts';
import { changeBetween, type Edit } from '../text/edit.ts';
import { span } from '../text/span.ts';
import { added, styleIn } from './declareCommands.ts';

/** Whether a vocabulary describes the language of a text: it has tags, all in that language, and knows a name in them. */
export function describes(vocabulary: Vocabulary, text: string): boolean {
  if (firstContact(text, vocabulary)) return false;
  const { expressions } = read(text, vocabulary);
  const known = new Set(visible(vocabulary).flatMap((one) => (one.fromMachine ? [] : [one.name])));
  return [...expressions.values()].some(({ expr }) => expr && namesIn(expr).some(({ name }) => known.has(name)));
}

function read(
  text: string,
  vocabulary: Vocabulary,
): { readonly tree: Tree; readonly tags: readonly Tag[]; readonly expressions: Expressions } {
  const tree = parse(text, { tags: tagStyleOf(vocabulary) });
  return { tree, tags: tree.tags, expressions: readExpressions(tree, languageFor(vocabulary)) };
}

/**
 * The text written in another vocabulary's language: each name as the one that stands for the same there, expressions
 * by its operators and functions, sections by its words. null: something in it cannot be written there.
 */
export function carried(text: string, from: Vocabulary, to: Vocabulary): readonly Edit[] | null {
  const { tree, tags, expressions } = read(text, from);
  if (tags.length === 0) return null;
  const nameOf = carriedNames(from, to);
  const opened = new Map(tree.sections.flatMap(({ chain, close }) => (close ? [[close, chain] as const] : [])));
  const forms = new Map<Tag, StatementForm | undefined>();
  const edits: Edit[] = [];
  for (const tag of tags) {
    const expr = expressions.get(tag)?.expr;
    // Where both write expressions alike, what the writer wrote stays.
    const same = expr && !from.grammar && !to.grammar ? renamed(text, tag, expr, nameOf) : undefined;
    const content = expr ? (same === undefined ? spellerOf(to).whole(expr, nameOf) : same) : null;
    // A section over a list goes through it, which a word that only asks whether would not.
    const isList = expr?.type === 'name' && from.names.get(expr.name)?.kind === 'list';
    const written = tag.closed ? carriedTag(tag, content, to, isList, forms.get(opened.get(tag) as Tag)) : null;
    if (written === null || (written.isRow && !isAlone(text, tag))) return null;
    forms.set(tag, written.form);
    edits.push({ span: tag.span, text: written.text });
  }
  return edits;
}

/** One tag in the other language; null: it has nothing for it. */
function carriedTag(
  tag: Tag,
  content: Spelt | null,
  to: Vocabulary,
  isList: boolean,
  opener: StatementForm | undefined,
): WrittenStatement | null {
  const style = tagStyleOf(to);
  if (tag.kind === 'value') {
    const text = tagWith(to, content);
    return text === null ? null : { text, isRow: false };
  }
  const is = statementOf(tag, isList);
  const takesNothing = is === 'end' || is === 'else';
  if (is === null || (!takesNothing && !content)) return null;
  if (is === 'each') return statementText(style, is, { LIST: content?.text ?? '' });
  return statementText(style, is, takesNothing || !content ? {} : { CONDITION: content.text }, opener);
}

/** What statement a tag is, by its word or by its mark; null where it is none that both languages may have. */
function statementOf(tag: Tag, isList: boolean): StatementKind | null {
  if (tag.kind === 'close') return 'end';
  if (tag.kind === 'inverted') return 'unless';
  if (tag.kind !== 'section') return null;
  if (tag.keyword === undefined) return isList ? 'each' : 'if';
  return tag.keyword === 'if' || tag.keyword === 'elseIf' || tag.keyword === 'else' ? tag.keyword : null;
}

/** Whether nothing else stands on a tag's row. */
function isAlone(text: string, { span: { start, end } }: Tag): boolean {
  const before = /[^\r\n]*$/.exec(text.slice(Math.max(0, start - 200), start))?.[0] ?? '';
  const behind = /^[^\r\n]*/.exec(text.slice(end, end + 200))?.[0] ?? '';
  return before.trim() === '' && behind.trim() === '';
}

/** What a tag holds, with each name as the other vocabulary has it; null: one has no name there. */
function renamed(text: string, tag: Tag, expr: Expr, nameOf: (name: string) => string | null): Spelt | null {
  let written = '';
  let at = tag.inner.start;
  for (const { name, span: place } of [...namesIn(expr)].sort((a, b) => a.span.start - b.span.start)) {
    const other = nameOf(name);
    if (other === null) return null;
    written += text.slice(at, place.start) + other;
    at = place.end;
  }
  return { text: written + text.slice(at, tag.inner.end), tie: tieOf(expr) };
}

function carriedNames(from: Vocabulary, to: Vocabulary): (name: string) => string | null {
  const meant = new Map([...(from.standIns ?? [])].map(([builtIn, own]) => [own, builtIn]));
  const usable = new Set(visible(to).map(({ name }) => name));
  return (name) => {
    const builtIn = meant.get(name) ?? name;
    const own = to.standIns?.get(builtIn) ?? builtIn;
    return usable.has(own) ? own : null;
  };
}

/** The change of a machine file that names this vocabulary file; null: it cannot be written there. */
export function namingVocabulary(machineFile: string, path: string): Edit | null {
  const { root, faults } = readJson(machineFile);
  if (root?.type !== 'object' || faults.length > 0) return null;
  const value = soleValue(root, 'placeholders');
  if (value === null) return null;
  const json = JSON.stringify(path);
  if (value) return { span: span(value.offset, value.offset + value.length), text: json };
  return changeBetween(machineFile, added(machineFile, root, `"placeholders": ${json}`, styleIn(machineFile)));
}

import { readJson } from '../machineFile/json.ts';
import { visible } from '../placeholders/environment.ts';
import { namesIn } from '../placeholders/expression.ts';
import { firstContact } from '../placeholders/firstContact.ts';
import { type Expressions, readExpressions } from '../placeholders/tags.ts';
import { tagStyleOf, type Vocabulary } from '../placeholders/vocabulary.ts';
import type { Tag } from '../syntax/nodes.ts';
import { parse } from '../syntax/parse.ts';
import { SLOTS, type StatementKind, statementPair, type TagLanguage, valuePair } from '../syntax/tagStyle.ts';
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
): { readonly tags: readonly Tag[]; readonly expressions: Expressions } {
  const tree = parse(text, { tags: tagStyleOf(vocabulary) });
  return { tags: tree.tags, expressions: readExpressions(tree) };
}

/**
 * The text written in another vocabulary's language: each name as the one that stands for the same there, sections by
 * its words. null: something in it cannot be written there.
 */
export function carried(text: string, from: Vocabulary, to: Vocabulary): readonly Edit[] | null {
  const { tags, expressions } = read(text, from);
  const nameOf = carriedNames(from, to);
  const style = tagStyleOf(to);
  const ends = { value: valuePair(style), other: statementPair(style) };
  if (tags.length === 0) return null;
  const edits: Edit[] = [];
  for (const tag of tags) {
    const inner = carriedInner(text, tag, expressions, nameOf);
    const mark = markOf(tag, tagStyleOf(from), style);
    const pair = tag.kind === 'value' ? ends.value : ends.other;
    if (inner === null || mark === null || !pair || !tag.closed) return null;
    const gap = tag.kind === 'value' ? ' ' : '';
    const end = tag.kind === 'value' || inner !== '' ? ' ' : '';
    const between = mark !== '' && inner !== '' ? ' ' : gap;
    edits.push({
      span: tag.span,
      text: `${pair.open}${mark}${inner === '' ? '' : between}${inner}${end}${pair.close}`,
    });
  }
  return edits;
}

/** What a tag holds, with each name as the other vocabulary has it; null: one has no name there. */
function carriedInner(
  text: string,
  tag: Tag,
  expressions: Expressions,
  nameOf: (name: string) => string | null,
): string | null {
  if (tag.kind === 'close' || tag.keyword === 'else') return '';
  const expr = expressions.get(tag)?.expr;
  if (!expr) return null;
  let written = '';
  let at = tag.inner.start;
  for (const { name, span: place } of [...namesIn(expr)].sort((a, b) => a.span.start - b.span.start)) {
    const other = nameOf(name);
    if (other === null) return null;
    written += text.slice(at, place.start) + other;
    at = place.end;
  }
  return written + text.slice(at, tag.inner.end);
}

/** The word or mark that makes a tag part of a section in the other language; '' for a value, null where it has none. */
function markOf(tag: Tag, from: TagLanguage, to: TagLanguage): string | null {
  if (tag.kind === 'value') return '';
  const plain = (language: TagLanguage): boolean => language.statements.length === 0;
  if (tag.kind === 'inverted') return plain(from) && plain(to) ? '^' : wordOf(to, 'unless');
  if (tag.kind === 'close') return wordOf(to, 'end') ?? (plain(to) ? '/' : null);
  if (tag.kind !== 'section') return null;
  if (tag.keyword === 'elseIf' || tag.keyword === 'else') return wordOf(to, tag.keyword);
  if (tag.keyword !== undefined && tag.keyword !== 'if') return null;
  return wordOf(to, 'if') ?? (plain(to) ? '#' : null);
}

/** The words of a statement that has its condition behind them, or none; null where the language has no such form. */
function wordOf({ statements }: TagLanguage, wanted: StatementKind): string | null {
  const form = statements.find(({ is }) => is === wanted)?.form.replace(/ CONDITION$/, '');
  return form === undefined || SLOTS.some((slot) => form.includes(slot)) ? null : form;
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
  const named = (root.children ?? []).filter(({ children }) => children?.[0]?.value === 'placeholders');
  const value = named[0]?.children?.[1];
  if (named.length > 1) return null;
  const json = JSON.stringify(path);
  if (value) return { span: span(value.offset, value.offset + value.length), text: json };
  return changeBetween(machineFile, added(machineFile, root, `"placeholders": ${json}`, styleIn(machineFile)));
}

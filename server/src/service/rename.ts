import { findNodeAtLocation } from 'jsonc-parser';
import { readJson } from '../machineFile/json.ts';
import { spanOf } from '../machineFile/walk.ts';
import { headOf } from '../placeholders/elements.ts';
import type { Vocabulary } from '../placeholders/vocabulary.ts';
import { type Span, touches } from '../text/span.ts';
import { nameFault, nameFaultIn } from '../vocabulary/nameFaults.ts';
import { readVocabulary } from '../vocabulary/read.ts';
import { namePlace, unquoted } from './definition.ts';
import { type NamedText, usesOf } from './uses.ts';

/** The name that a vocabulary file declares or mentions at an offset; null where there is none. */
export function vocabularyNameAt(text: string, offset: number): { readonly name: string; readonly span: Span } | null {
  for (const { name } of readVocabulary(text).vocabulary?.names ?? [])
    for (const span of vocabularyPlaces(text, name)) if (touches(span, offset)) return { name, span };
  return null;
}

/** Every place of a name in its vocabulary file: where it is declared first, then where other names refer to it. */
export function vocabularyPlaces(text: string, name: string): Span[] {
  const declared = namePlace(text, name);
  if (!declared) return [];
  const places = [declared];
  const { root } = readJson(text, 'vocabulary');
  const names = root ? findNodeAtLocation(root, ['names']) : undefined;
  for (const child of names?.children ?? []) {
    const facts = child.type === 'property' ? child.children?.[1] : child;
    if (facts?.type !== 'object') continue;
    for (const relation of ['atMost', 'atLeast']) {
      const node = findNodeAtLocation(facts, [relation]);
      if (node?.type === 'string' && node.value === name) places.push(unquoted(text, spanOf(node)));
    }
  }
  return places;
}

/** Why a placeholder cannot be renamed; null where its own vocabulary file declares it. */
export function fixedBecause(vocabulary: Vocabulary, name: string, declared: boolean): string | null {
  if (declared) return null;
  const known = vocabulary.names.get(name);
  if (!known || (known.hidden && !name.includes('[]')))
    return `“${name}” is not in the vocabulary, so there is nothing to rename. Correct its spelling, or add it to the vocabulary file.`;
  if (known.fromMachine) return `“${name}” is a figure of the machine’s: its name is built in and cannot be changed.`;
  return `“${name}” is a built-in name and cannot be changed. Names of your own vocabulary file can.`;
}

/** Why a name cannot become this one; null where it can. `texts`: those in which it is used. */
export function newNameFault(
  vocabulary: Vocabulary,
  name: string,
  to: string,
  texts: readonly NamedText[],
): string | null {
  const { grammar } = vocabulary;
  const fault = grammar ? nameFaultIn(to, grammar) : nameFault(to);
  if (fault !== null) return fault;
  if (to === name) return null;
  if (texts.some(({ tree }) => tree.rest !== null))
    return `“${name}” is used in a text that is too long to be read whole, so not all of its places are known. Split that text first.`;
  const taken = vocabulary.names.get(to);
  if (taken) return `There is a placeholder “${to}” already. Choose another name.`;
  for (const { form } of vocabulary.language?.statements ?? [])
    if (form.split(/\s+/)[0] === to)
      return `“${to}” begins a keyword of this vocabulary (“${form}”), so that a tag with it would be read as a section. Choose another name.`;
  for (const text of texts) {
    for (const { key, tag } of usesOf(text)) {
      if (key === name && text.scopes.elements(tag).some((own) => headOf(own.name) === headOf(to)))
        return `Inside a list’s section “${headOf(to)}” means the element’s own, so “${to}” would not be found there. Choose another name.`;
    }
  }
  return null;
}

/** Why the vocabulary file would not take its own name under the new one (it would hide another); null where it does. */
export function renamedFault(vocabularyText: string, name: string, to: string): string | null {
  let text = vocabularyText;
  const places = vocabularyPlaces(vocabularyText, name).sort((a, b) => b.start - a.start);
  for (const { start, end } of places) text = text.slice(0, start) + to + text.slice(end);
  const before = new Set(readVocabulary(vocabularyText).vocabulary?.names.map((one) => one.name));
  const { vocabulary, problems } = readVocabulary(text);
  const after = new Set(vocabulary?.names.map((one) => one.name));
  const lost = [...before].map((one) => (one === name ? to : one)).find((one) => !after.has(one));
  if (lost === undefined) return null;
  // The reader's own words say which name hides which.
  const reason = problems.find(({ message }) => message.startsWith(`“${lost}”`))?.message.split('. ')[0];
  return `${reason ?? `“${to}” and “${lost}” cannot both be names`}. Choose another name.`;
}

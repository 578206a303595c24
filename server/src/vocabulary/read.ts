import { findNodeAtLocation, type Node } from 'jsonc-parser';
import { readJson } from '../machineFile/json.ts';
import { inOrder } from '../machineFile/load.ts';
import { type MachineProblem, take, type Walk } from '../machineFile/walk.ts';
import { span } from '../text/span.ts';
import { soundGrammar } from './expressions.ts';
import type { VocabularyFile } from './file.ts';
import { soundLanguage } from './language.ts';
import { readNames } from './names.ts';
import { soundRelations, withoutShadows } from './relations.ts';
import { type VocabularyRoot, VocabularyRootSchema } from './schema.ts';

/**
 * Reads a vocabulary file: JSON with comments. Every value that is wrong is a problem at its place and counts as left
 * out; all other facts are used. `vocabulary` is null only where the text holds no object. Never throws.
 */
export function readVocabulary(text: string): {
  readonly vocabulary: VocabularyFile | null;
  readonly problems: readonly MachineProblem[];
} {
  const { root, faults } = readJson(text, 'vocabulary');
  const problems: MachineProblem[] = faults.map((fault) => ({ ...fault, severity: 'error' }));
  if (root?.type !== 'object') {
    if (root || faults.length === 0) problems.unshift(notAVocabulary(text));
    return { vocabulary: null, problems: inOrder(problems) };
  }
  const walk: Walk = { file: 'vocabulary', text, problems, places: new Map(), kept: new Map() };
  const vocabulary = build(walk, root);
  return { vocabulary, problems: inOrder(problems) };
}

function build(walk: Walk, root: Node): VocabularyFile {
  const file = take(walk, VocabularyRootSchema, root) as Partial<VocabularyRoot>;
  const at = (...path: string[]): Node | null => findNodeAtLocation(root, path) ?? null;
  const extendsBuiltIn = file.extends === 'bookend';
  const grammar = soundGrammar(walk, file, {
    functions: at('expressions', 'functions'),
    bareList: at('rules', 'bareList'),
  });
  const namesNode = at('names');
  const declared = withoutShadows(walk, namesNode ? readNames(walk, namesNode, grammar) : [], extendsBuiltIn);
  const names = soundRelations(walk, declared, extendsBuiltIn);
  const language = soundLanguage(walk, file, grammar, new Set(names.map(({ name }) => name)));
  return { name: file.name ?? null, extendsBuiltIn, language, grammar, names };
}

function notAVocabulary(text: string): MachineProblem {
  const empty = text.trim() === '';
  const message = `${empty ? 'This vocabulary file is empty.' : 'A vocabulary file holds one object in { }, and this text is something else.'} Write for example { "names": { "height": { "kind": "length", "range": [0, "reach.top"] } } }.`;
  const start = text.length - text.trimStart().length;
  const line = /^[^\r\n]*/.exec(text.slice(start))?.[0] ?? '';
  const at = empty ? span(0, Math.min(1, text.length)) : span(start, start + Math.min(120, line.length));
  return { span: at, message, severity: 'error' };
}

import type { BoundLines } from '../commands/bind.ts';
import type { Catalog } from '../commands/catalog.ts';
import type { Machine } from '../machine/machine.ts';
import type { Known } from '../placeholders/bounds.ts';
import { type Expressions, fillingOf, wordNumber } from '../placeholders/tags.ts';
import type { Env } from '../placeholders/value.ts';
import type { Item, Tree, Word } from '../syntax/nodes.ts';
import type { Role } from '../syntax/role.ts';

/** Everything about a text that does not depend on the job: made once, run for as many jobs as needed. */
export interface Prepared {
  readonly tree: Tree;
  readonly items: readonly Item[];
  readonly role: Role;
  readonly machine: Machine | null;
  readonly catalog: Catalog;
  readonly bound: BoundLines;
  readonly expressions: Expressions;
}

/** What a command reads while it runs: its words' numbers under one environment. */
export interface Reader {
  readonly prepared: Prepared;
  readonly env: Env;
  readonly words: readonly Word[];
}

/** The word with this key; undefined where the command has none. */
export function findWord(words: readonly Word[], key: string): Word | undefined {
  for (const word of words) if (word.key === key) return word;
  return undefined;
}

/** The number behind `key`: undefined where the word is absent or has no value, null where it is not known. */
export function read(reader: Reader, key: string): Known | undefined {
  const word = findWord(reader.words, key);
  if (!word?.value) return undefined;
  const { tree, expressions } = reader.prepared;
  const number = wordNumber(word.value, tree.text, expressions, reader.env);
  if (number || word.value.type !== 'filled') return number;
  // Sections that are all left out leave the letter without a value.
  return fillingOf(word.value, tree.text, expressions, reader.env).isEmpty ? undefined : null;
}

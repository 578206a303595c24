import type { Word } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import type { BoundCommand } from './bind.ts';
import type { Quantity } from './quantity.ts';
import type { CommandRecord } from './record.ts';

/** The keys of a command's words by what they are a quantity of. */
const keysOf = once(({ words }: CommandRecord) => {
  const keys = new Map<Quantity, string[]>();
  for (const { key, quantity } of words) keys.set(quantity, [...(keys.get(quantity) ?? []), key]);
  return keys;
});

/**
 * The word of a command that is one of these quantities: of the first quantity that it has, the first word in the text.
 * Whoever asks so never says which letter means what.
 * @param words The command's words, or those that it has in one step.
 */
export function wordFor(
  { record, words }: Pick<BoundCommand, 'record' | 'words'>,
  ...quantities: readonly Quantity[]
): Word | undefined {
  if (!record) return undefined;
  const keys = keysOf(record);
  for (const quantity of quantities) {
    const known = keys.get(quantity);
    const word = known && words.find(({ key }) => known.includes(key));
    if (word) return word;
  }
  return undefined;
}

/** Whether a command has a word that is one of these quantities. */
export const hasWordFor = (
  command: Pick<BoundCommand, 'record' | 'words'>,
  ...quantities: readonly Quantity[]
): boolean => wordFor(command, ...quantities) !== undefined;

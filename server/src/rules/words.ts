import type { Quantity } from '../commands/quantity.ts';
import { wordFor } from '../commands/wordFor.ts';
import { exact, type Known } from '../placeholders/bounds.ts';
import { namesIn } from '../placeholders/expression.ts';
import { type Filling, fillingOf } from '../placeholders/tags.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import { once } from '../text/once.ts';
import type { View } from './rule.ts';

// What rules ask of the words that a step has. Which of a command's words are there, and what stands in them, may hang
// on the job: only the step knows.

/** The words that the command has in this step. */
export const wordsOf = ({ words }: Step): readonly Word[] => words;

/** The word with one of these keys that the command has in this step, of the first key that it has. */
export function wordIn(step: Step, ...keys: readonly (string | undefined)[]): Word | undefined {
  for (const key of keys) {
    const word = key === undefined ? undefined : wordsOf(step).find((w) => w.key === key);
    if (word) return word;
  }
  return undefined;
}

/** The word that is one of these quantities and that the command has in this step, of the first quantity that it has. */
export const wordMeant = ({ command: { record }, words }: Step, ...quantities: readonly Quantity[]): Word | undefined =>
  wordFor({ record, words }, ...quantities);

/** The number behind a word in a step; undefined: it has no value; null: not known, or none. */
export function numberOfWord({ within }: Step, { value }: Word): Known | undefined {
  if (value?.type === 'number') return exact(value.number);
  if (!value) return undefined;
  const reading = value.type === 'filled' ? fillingIn(within, value) : null;
  return reading?.isEmpty ? undefined : (reading?.number ?? null);
}

/** What a machine reads behind a word whose value is filled in; null for one that is written out, or has none. */
export const filledIn = ({ within }: Step, { value }: Word): Filling | null =>
  value?.type === 'filled' ? fillingIn(within, value) : null;

type Filled = Extract<NonNullable<Word['value']>, { type: 'filled' }>;

/** Several rules ask for the same word of the same body. */
const FILLINGS = once((_: Step['within']) => new Map<Filled, Filling>());

function fillingIn(within: Step['within'], value: Filled): Filling {
  const known = FILLINGS(within);
  let filling = known.get(value);
  if (!filling) {
    const { prepared, env } = within;
    filling = fillingOf(value, prepared.tree.text, prepared.expressions, env);
    known.set(value, filling);
  }
  return filling;
}

/** Whether every name in a filled value is one that jobs have, so that exact jobs can tell what it becomes. */
export function hasKnownNames({ expressions }: View, { within }: Step, { value }: Word): boolean {
  if (value?.type !== 'filled') return true;
  return value.parts.every((part) => {
    const expr = 'type' in part ? expressions.get(part)?.expr : undefined;
    if (!('type' in part) || !expressions.has(part)) return true;
    return !!expr && namesIn(expr).every(({ name }) => (within.env(name)?.type ?? 'unknown') !== 'unknown');
  });
}

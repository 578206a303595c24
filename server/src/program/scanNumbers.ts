import { RULES } from '../rules/all.ts';
import type { Beyond, Rule } from '../rules/rule.ts';

/** What no number of a move is beyond: no rule asks for it, and the compiled scan does without the comparison. */
const NONE: Required<Beyond> = {
  pushed: Number.MAX_VALUE,
  pushedStanding: Number.MAX_VALUE,
  retracted: Number.MAX_VALUE,
  feed: -1,
  length: Number.MAX_VALUE,
};

/**
 * The numbers at which the compiled scan looks closer: of each the nearest that a rule declares. That language reads no
 * module of the engine but one of plain numbers, so `scripts/write-kernel.mjs` writes a source of them.
 */
export function scanNumbers(rules: readonly Rule[] = RULES): Required<Beyond> {
  const declared = rules.flatMap(({ ofMove }) => (typeof ofMove?.beyond === 'object' ? [ofMove.beyond] : []));
  const all = (name: keyof Beyond): number[] => [NONE[name], ...declared.flatMap((beyond) => beyond[name] ?? [])];
  return {
    pushed: Math.min(...all('pushed')),
    pushedStanding: Math.min(...all('pushedStanding')),
    retracted: Math.min(...all('retracted')),
    feed: Math.max(...all('feed')),
    length: Math.min(...all('length')),
  };
}

/** Those numbers as a source for `server/kernel/`: `PUSHED_STANDING` and so on. */
export const numbersSource = (numbers: Required<Beyond>): string =>
  Object.entries(numbers)
    .map(
      ([name, value]) =>
        `export const ${name.replace(/[A-Z]/g, '_$&').toUpperCase()}: f64 = ${String(value).replace('e+', 'e')};\n`,
    )
    .join('');

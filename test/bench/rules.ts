import { RULES } from '../../server/src/rules/all.ts';
import { analyze } from '../../server/src/service/analyze.ts';

/** What one rule takes of an analysis. */
export interface Share {
  readonly rule: string;
  /** Median of its check and its verdict, ms. */
  readonly ms: number;
  /** Of the median analysis of the same text. */
  readonly share: number;
}

/** Every rule's share of an analysis, greatest first. All rules are run in turn, so that noise meets them alike. */
export function shares(...of: Parameters<typeof analyze>): { readonly whole: number; readonly shares: Share[] } {
  const view = analyze(...of);
  const whole: number[] = [];
  const each = new Map<string, number[]>(RULES.map(({ id }) => [id, []]));
  for (let i = 0; i < ROUNDS + WARM_UP; i++) {
    const began = performance.now();
    analyze(...of);
    if (i >= WARM_UP) whole.push(performance.now() - began);
    for (const rule of RULES) {
      const from = performance.now();
      rule.check(view, () => {});
      rule.blind?.(view);
      if (i >= WARM_UP) each.get(rule.id)?.push(performance.now() - from);
    }
  }
  const all = median(whole);
  const found = [...each].map(([rule, ms]) => ({ rule, ms: median(ms), share: median(ms) / all }));
  return { whole: all, shares: found.sort((a, b) => b.ms - a.ms) };
}

const ROUNDS = 25;
const WARM_UP = 10;

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

import type { Machine } from '../machine/machine.ts';
import { type Expr, namesIn } from '../placeholders/expression.ts';
import type { Env, Value } from '../placeholders/value.ts';
import { num, oneOf, onMachine, range } from './say.ts';

/** More names than this in one sentence are not read. */
const MOST = 4;

/** "part.top is 0.04 to 232 and layer.first is 0.2 in any job on Heron 228"; '' where nothing is known of any name. */
export function sayNames(expr: Expr, env: Env, machine: Machine | null): string {
  const said = new Map<string, string>();
  for (const { name } of namesIn(expr)) {
    const text = valueText(env(name));
    if (text && said.size < MOST) said.set(name, `${name.replace('[]', '')} is ${text}`);
  }
  if (said.size === 0) return '';
  return `${[...said.values()].join(' and ')} in any job${machine ? onMachine(machine) : ''}`;
}

function valueText(value: Value | undefined): string | null {
  switch (value?.type) {
    case 'number':
      if (value.lo === Number.NEGATIVE_INFINITY) return Number.isFinite(value.hi) ? `at most ${num(value.hi)}` : null;
      return Number.isFinite(value.hi) ? range(value) : `at least ${num(value.lo)}`;
    case 'text':
      return value.any && value.any.length <= 8 ? oneOf(value.any.map((text) => `“${text}”`)) : null;
    case 'flag':
      return value.is === null ? null : String(value.is);
    default:
      return null;
  }
}

/** Whether an expression names nothing: it is the same wherever it stands. */
export const namesNothing = (expr: Expr): boolean => namesIn(expr).length === 0;

import { evaluate, truthIn } from './evaluate.ts';
import type { Expr } from './expression.ts';
import { narrowWith } from './narrowing.ts';
import type { Env } from './value.ts';

/** The environment in which a condition is known to be true (or false), see `narrowWith`. */
export function narrow(condition: Expr, holds: boolean, env: Env): Env {
  // What is known to be so anyhow, as all is in one job, says nothing new.
  if (truthIn(evaluate(condition, env), condition, env) === holds) return env;
  return narrowWith(evaluate, condition, holds, env);
}

import { evaluate } from './evaluate.ts';
import type { Expr } from './expression.ts';
import { narrowWith } from './narrowing.ts';
import type { Env } from './value.ts';

/** The environment in which a condition is known to be true (or false), see `narrowWith`. */
export const narrow = (condition: Expr, holds: boolean, env: Env): Env => narrowWith(evaluate, condition, holds, env);

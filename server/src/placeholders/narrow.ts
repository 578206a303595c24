import { type Bounds, bounds, type Known } from './bounds.ts';
import { asNumber, evaluate } from './evaluate.ts';
import type { BinaryOp, Expr } from './expression.ts';
import type { Env, Value } from './value.ts';

/**
 * The environment in which a condition is known to be true (or false): inside `{{# part.top < 100 }}` a part is lower
 * than 100. Only what follows from one name alone is used; everything else stays as it was. Sound: no job for which the
 * condition holds is left out.
 */
export function narrow(condition: Expr, holds: boolean, env: Env): Env {
  const known = new Map<string, Value>();
  const narrowed: Env = (name) => known.get(name) ?? env(name);
  learn(condition, holds, narrowed, known);
  return known.size > 0 ? narrowed : env;
}

function learn(expr: Expr, holds: boolean, env: Env, known: Map<string, Value>): void {
  if (expr.type === 'unary') {
    if (expr.op === '!') learn(expr.arg, !holds, env, known);
    return;
  }
  if (expr.type === 'name') {
    if (env(expr.name)?.type === 'flag') known.set(expr.name, { type: 'flag', is: holds });
    return;
  }
  if (expr.type !== 'binary') return;
  // Both parts of an "and" that holds do; so do the opposites of both parts of an "or" that does not.
  if ((expr.op === '&&' && holds) || (expr.op === '||' && !holds)) {
    learn(expr.left, holds, env, known);
    learn(expr.right, holds, env, known);
    return;
  }
  const op = holds ? expr.op : OPPOSITE[expr.op];
  if (op) compare(expr.left, op, expr.right, env, known);
}

const OPPOSITE: Partial<Record<BinaryOp, BinaryOp>> = {
  '<': '>=',
  '<=': '>',
  '>': '<=',
  '>=': '<',
  '==': '!=',
  '===': '!==',
  '!=': '==',
  '!==': '===',
};

function compare(left: Expr, op: BinaryOp, right: Expr, env: Env, known: Map<string, Value>): void {
  const a = evaluate(left, env);
  const b = evaluate(right, env);
  if (a.type === 'text' && b.type === 'text') {
    if (left.type === 'name') texts(left.name, op, a.any, b.any, known);
    if (right.type === 'name') texts(right.name, op, b.any, a.any, known);
    return;
  }
  const [x, y] = [asNumber(a), asNumber(b)];
  if (!x || !y) return;
  if (op === '<' || op === '<=') atMost(x, y, env, known);
  else if (op === '>' || op === '>=') atMost(y, x, env, known);
  else if (op === '==' || op === '===') {
    atMost(x, y, env, known);
    atMost(y, x, env, known);
  }
}

/** Room for the rounding of sums, so that no job at the very edge is left out. A name by itself is no sum. */
const ROUNDING = 1e-9;
const slack = ({ lo, hi }: { readonly lo: number; readonly hi: number }): number =>
  lo === 0 && hi === 0 ? 0 : ROUNDING;

/** a <= b, and what that says of the names that either hangs on: a = n + [lo, hi] gives n <= b.hi - lo. */
function atMost(a: Bounds, b: Bounds, env: Env, known: Map<string, Value>): void {
  if (a.over) limit(a.over.of.name, Number.NEGATIVE_INFINITY, b.hi - a.over.lo + slack(a.over), env, known);
  if (b.over) limit(b.over.of.name, a.lo - b.over.hi - slack(b.over), Number.POSITIVE_INFINITY, env, known);
}

function limit(name: string, lo: number, hi: number, env: Env, known: Map<string, Value>): void {
  const value = env(name);
  const now: Known = value ? asNumber(value) : null;
  if (!now?.over || now.over.of.name !== name) return;
  const range = bounds(Math.max(now.lo, lo), Math.min(now.hi, hi));
  // A condition that no job fulfils says nothing: its body is never run.
  if (!range || range.lo > range.hi) return;
  // The name's own range stays as declared: behind the section, where the condition says nothing, it is needed whole.
  known.set(name, { type: 'number', lo: range.lo, hi: range.hi, over: { ...now.over, here: range } });
}

function texts(
  name: string,
  op: BinaryOp,
  own: readonly string[] | null,
  other: readonly string[] | null,
  known: Map<string, Value>,
): void {
  if (!other) return;
  const equal = op === '==' || op === '===';
  if (!equal && (!op.startsWith('!') || !own || other.length !== 1)) return;
  const any = equal ? (own?.filter((t) => other.includes(t)) ?? other) : (own?.filter((t) => t !== other[0]) ?? []);
  if (any.length > 0) known.set(name, { type: 'text', any });
}

import { type Atom, type Facts, loneAtom } from './affine.ts';
import { exact, isExact, type Known, narrowed, subtract } from './bounds.ts';
import { conditionKey } from './canonical.ts';
import type { BinaryOp, Expr } from './expression.ts';
import { deeper, meet, withRange, withTruth } from './facts.ts';
import { asNumber, type Env, envLike, memoryOf, type Value } from './value.ts';

/** Works an expression out. */
export type Evaluate = (expr: Expr, env: Env) => Value;

/**
 * The environment in which a condition is known to be true (or false): inside `{{# part.top < 100 }}` a part is lower
 * than 100, and inside `{{# part.right > part.left + 5 }}` it is wider than 5. What a condition does not say in a sum
 * stays as it was. Sound: no job for which the condition holds is left out. `facts.impossible`: there is none.
 */
export function narrowWith(evaluate: Evaluate, condition: Expr, holds: boolean, env: Env): Env {
  const memory = memoryOf(env);
  const before = (holds ? memory.holding : memory.failing)?.get(condition);
  if (before) return before;
  const narrowed = narrowAlike(evaluate, condition, holds, env);
  const known = (holds ? memory.holding : memory.failing) ?? new Map<Expr, Env>();
  known.set(condition, narrowed);
  if (holds) memory.holding = known;
  else memory.failing = known;
  return narrowed;
}

/** Sections with the same condition share what is known in them, and a condition in a condition is not gone through again and again. */
function narrowAlike(evaluate: Evaluate, condition: Expr, holds: boolean, env: Env): Env {
  const memory = memoryOf(env);
  const { key, holds: same } = conditionKey(condition);
  const id = same === holds ? key : `!${key}`;
  const before = memory.narrowed?.get(id);
  if (before) return before;
  const narrowed = narrowNow(evaluate, condition, holds, env);
  memory.narrowed ??= new Map();
  memory.narrowed.set(id, narrowed);
  return narrowed;
}

function narrowNow(evaluate: Evaluate, condition: Expr, holds: boolean, env: Env): Env {
  if (condition.type === 'unary' && condition.op === '!') return narrowNow(evaluate, condition.arg, !holds, env);
  // Both parts of an "and" that holds do; so do the opposites of both parts of an "or" that does not.
  const parts = condition.type === 'binary' && condition.op === (holds ? '&&' : '||') ? condition : null;
  const inner = parts ? narrowWith(evaluate, parts.right, holds, narrowWith(evaluate, parts.left, holds, env)) : env;
  const learnt: Learnt = { evaluate, env: inner, facts: deeper(inner.facts), known: new Map() };
  const { key, holds: same } = conditionKey(condition);
  learnt.facts = withTruth(learnt.facts, key, same === holds);
  if (!parts) learn(condition, holds, learnt);
  return envOf(inner, learnt.facts, learnt.known);
}

interface Learnt {
  readonly evaluate: Evaluate;
  /** As it was. */
  readonly env: Env;
  facts: Facts;
  /** Texts and flags. */
  readonly known: Map<string, Value>;
}

/** The names where these facts hold; numbers are narrowed when they are asked for. */
function envOf(env: Env, facts: Facts, known: ReadonlyMap<string, Value>): Env {
  const seen = new Map<string, Value | undefined>(known);
  const inside = (name: string): Value | undefined => {
    if (seen.has(name)) return seen.get(name);
    const value = env(name);
    const number = value?.type === 'number' && value.form ? narrowed(asNumber(value), facts) : null;
    const now: Value | undefined = number ? { type: 'number', ...number } : value;
    seen.set(name, now);
    return now;
  };
  return envLike(env, inside, facts);
}

function learn(expr: Expr, holds: boolean, learnt: Learnt): void {
  if (expr.type === 'name') {
    // What the text set a name to is worked out of others, and is no value of its own.
    if (expr.means) return;
    const value = learnt.env(expr.name);
    if (value?.type === 'flag') learnt.known.set(expr.name, { type: 'flag', is: holds });
    if (value?.type === 'number' && (expr.rules?.zeroHolds ?? (expr.rules ? null : false)) === false)
      isZero(asNumber(value), !holds, learnt);
    return;
  }
  if (expr.type !== 'binary') return;
  const op = holds ? expr.op : OPPOSITE[expr.op];
  if (op) compare(expr.left, op, expr.right, learnt);
}

const ZERO = exact(0);

/** A number counts as true where it is not zero. */
function isZero(number: Known, is: boolean, learnt: Learnt): void {
  if (is) equal(number, ZERO, learnt);
  else if (number && number.lo >= 0) notAbove(ZERO, number, true, learnt);
  else if (number && number.hi <= 0) notAbove(number, ZERO, true, learnt);
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

function compare(left: Expr, op: BinaryOp, right: Expr, learnt: Learnt): void {
  const a = learnt.evaluate(left, learnt.env);
  const b = learnt.evaluate(right, learnt.env);
  if (a.type === 'text' && b.type === 'text') {
    // Where nobody says whether case counts, another one may be equal too.
    const any = (left.rules ?? right.rules) !== undefined;
    if (left.type === 'name' && !left.means) texts(left.name, op, a.any, b.any, learnt.known, any);
    if (right.type === 'name' && !right.means) texts(right.name, op, b.any, a.any, learnt.known, any);
    return;
  }
  const [x, y] = [asNumber(a), asNumber(b)];
  if (op === '<' || op === '<=') notAbove(x, y, op === '<', learnt);
  else if (op === '>' || op === '>=') notAbove(y, x, op === '>', learnt);
  else if (op === '==' || op === '===') equal(x, y, learnt);
  else if (y && isExact(y)) differs(x, y.lo, learnt);
  else if (x && isExact(x)) differs(y, x.lo, learnt);
}

function equal(a: Known, b: Known, learnt: Learnt): void {
  notAbove(a, b, false, learnt);
  notAbove(b, a, false, learnt);
}

/** a <= b, or a < b where it is strictly so. */
function notAbove(a: Known, b: Known, strictly: boolean, learnt: Learnt): void {
  const difference = subtract(b, a);
  if (difference?.form) learnt.facts = meet(learnt.facts, difference.form, strictly, isItself(a) && isItself(b));
  else if (difference && difference.hi < 0) learnt.facts = { ...learnt.facts, impossible: true };
}

/** Whether a number is as it was given: no rounding went into it. */
const isItself = (b: Known): boolean => b !== null && (b.form ? loneAtom(b.form) !== null : b.lo === b.hi);

/** Of a name that takes whole numbers only, or has a gap, an end that it is not: the next value is. */
function differs(a: Known, from: number, learnt: Learnt): void {
  const atom: Atom | null = a?.form ? loneAtom(a.form) : null;
  if (!atom || atom.name === undefined) return;
  const { lo, hi } = learnt.facts.ranges.get(atom.id) ?? atom.range;
  const { gap } = atom;
  if (gap && from === lo && lo === gap.lo) learnt.facts = withRange(learnt.facts, atom, { lo: gap.hi, hi });
  if (gap && from === hi && hi === gap.hi) learnt.facts = withRange(learnt.facts, atom, { lo, hi: gap.lo });
  if (gap || !atom.whole) return;
  if (from === lo) learnt.facts = withRange(learnt.facts, atom, { lo: lo + 1, hi });
  else if (from === hi) learnt.facts = withRange(learnt.facts, atom, { lo, hi: hi - 1 });
}

function texts(
  name: string,
  op: BinaryOp,
  own: readonly string[] | null,
  other: readonly string[] | null,
  known: Map<string, Value>,
  anyCase: boolean,
): void {
  if (!other || (anyCase && !own)) return;
  const isEqual = op === '==' || op === '===';
  if (!isEqual && (!op.startsWith('!') || !own || other.length !== 1)) return;
  const small = anyCase ? new Set(other.map((t) => t.toLowerCase())) : null;
  const any = isEqual
    ? (own?.filter((t) => (small ? small.has(t.toLowerCase()) : other.includes(t))) ?? other)
    : (own?.filter((t) => t !== other[0]) ?? []);
  if (any.length > 0) known.set(name, { type: 'text', any });
}

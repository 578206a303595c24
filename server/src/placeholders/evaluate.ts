import { once as onceEach } from '../text/once.ts';
import {
  absolute,
  add,
  bounds,
  divide,
  isExact,
  isInGap,
  isLess,
  isSame,
  join,
  type Known,
  larger,
  monotone,
  multiply,
  negate,
  remainder,
  smaller,
  subtract,
} from './bounds.ts';
import { conditionKey } from './canonical.ts';
import type { Expr } from './expression.ts';
import { narrowWith } from './narrowing.ts';
import { asNumber, type Env, type Value } from './value.ts';

export { asNumber } from './value.ts';

const UNKNOWN: Value = { type: 'unknown' };
const number = (b: Known): Value => (b ? { type: 'number', ...b } : UNKNOWN);
const flag = (is: boolean | null): Value => ({ type: 'flag', is });

/** The value of an expression: everything that it can be when every name stays within what `env` says of it. Total. */
export function evaluate(expr: Expr, env: Env): Value {
  const value = worked(expr, env);
  if (value.type !== 'flag' || value.is !== null) return value;
  const known = saidAround(expr, env);
  return known === null ? value : flag(known);
}

/** Whether a condition is known to hold by those around it: it is one of them. */
function saidAround(condition: Expr, { facts }: Env): boolean | null {
  if (!facts || facts.truths.size === 0) return null;
  const { key, holds } = conditionKey(condition);
  const known = facts.truths.get(key);
  return known === undefined ? null : known === holds;
}

/** Whether a condition holds, of which this is the value: as it works out, else as those around it say. null: in some jobs. */
export const truthIn = (value: Value, condition: Expr, env: Env): boolean | null =>
  truth(value) ?? saidAround(condition, env);

function worked(expr: Expr, env: Env): Value {
  switch (expr.type) {
    case 'number':
      return number(bounds(expr.value, expr.value));
    case 'text':
      return { type: 'text', any: [expr.value] };
    case 'flag':
      return flag(expr.value);
    case 'name':
      return env(expr.name) ?? UNKNOWN;
    case 'unary': {
      const arg = evaluate(expr.arg, env);
      if (expr.op === '!') return flag(not(truth(arg)));
      return number(expr.op === '-' ? negate(asNumber(arg)) : asNumber(arg));
    }
    case 'binary':
      return binary(expr, env);
    case 'choice':
      return once(expr, env, choice);
    case 'call':
      return call(
        expr.name,
        expr.args.map((arg) => asNumber(evaluate(arg, env))),
      );
  }
}

type Branching = Extract<Expr, { type: 'choice' | 'binary' }>;

/** Values of what branches, under one environment: a condition is asked for more than once, and they lie in one another. */
const WORKED = onceEach((_: Env) => new Map<Expr, Value>());

function once<T extends Branching>(expr: T, env: Env, work: (expr: T, env: Env) => Value): Value {
  const known = WORKED(env);
  const before = known.get(expr);
  if (before) return before;
  const value = work(expr, env);
  known.set(expr, value);
  return value;
}

function choice({ test, yes, no }: Extract<Expr, { type: 'choice' }>, env: Env): Value {
  const is = truthIn(evaluate(test, env), test, env);
  if (is !== null) return evaluate(is ? yes : no, env);
  const ifSo = narrowWith(evaluate, test, true, env);
  const ifNot = narrowWith(evaluate, test, false, env);
  // What no job comes to says nothing.
  if (ifSo.facts?.impossible) return evaluate(no, ifNot);
  if (ifNot.facts?.impossible) return evaluate(yes, ifSo);
  return joinValues(evaluate(yes, ifSo), evaluate(no, ifNot));
}

/** `a && b` is a where that is false, else b; `a || b` the other way round. */
function either({ op, left, right }: Extract<Expr, { type: 'binary' }>, env: Env): Value {
  const goesOn = op === '&&';
  const first = evaluate(left, env);
  const is = truthIn(first, left, env);
  if (is === !goesOn) return first;
  if (is === goesOn) return evaluate(right, env);
  const on = narrowWith(evaluate, left, goesOn, env);
  if (on.facts?.impossible) return first;
  const second = evaluate(right, on);
  // Where it does not go on, a flag is what it stopped at.
  return joinValues(first.type === 'flag' ? flag(!goesOn) : first, second);
}

function binary(expr: Extract<Expr, { type: 'binary' }>, env: Env): Value {
  if (expr.op === '&&' || expr.op === '||') return once(expr, env, either);
  const left = evaluate(expr.left, env);
  const right = evaluate(expr.right, env);
  switch (expr.op) {
    case '+':
      return left.type === 'text' || right.type === 'text'
        ? glue(left, right)
        : number(add(asNumber(left), asNumber(right)));
    case '-':
      return number(subtract(asNumber(left), asNumber(right)));
    case '*':
      return number(multiply(asNumber(left), asNumber(right)));
    case '/':
      return number(divide(asNumber(left), asNumber(right)));
    case '%':
      return number(remainder(asNumber(left), asNumber(right)));
    case '<':
      return flag(less(left, right));
    case '<=':
      return flag(not(less(right, left)));
    case '>':
      return flag(less(right, left));
    case '>=':
      return flag(not(less(left, right)));
    case '==':
    case '===':
      return flag(same(left, right, expr.op === '=='));
    default:
      return flag(not(same(left, right, expr.op === '!=')));
  }
}

function call(name: string, args: readonly Known[]): Value {
  const first = args[0] ?? null;
  switch (name) {
    case 'min':
      return number(args.reduce(smaller));
    case 'max':
      return number(args.reduce(larger));
    case 'abs':
      return number(absolute(first));
    case 'floor':
      return number(monotone(first, Math.floor));
    case 'ceil':
      return number(monotone(first, Math.ceil));
    default:
      return number(monotone(first, Math.round));
  }
}

/** Whether a value counts as true (ECMA-262 7.1.2; an empty list counts as false, as in Mustache). null: may be either. */
export function truth(value: Value): boolean | null {
  switch (value.type) {
    case 'flag':
      return value.is;
    case 'number':
      return value.lo > 0 || value.hi < 0 ? true : value.lo === 0 && value.hi === 0 ? false : null;
    case 'text':
      return value.any?.every((t) => t !== '') ? true : value.any?.every((t) => t === '') ? false : null;
    case 'list':
      return value.length.lo > 0 ? true : value.length.hi === 0 ? false : null;
    default:
      return null;
  }
}

const not = (is: boolean | null): boolean | null => (is === null ? null : !is);

/** a < b. Two texts are in the order of their code units (ECMA-262 7.2.12); other mixtures are left open. */
function less(a: Value, b: Value): boolean | null {
  if (a.type !== 'text' || b.type !== 'text') return isLess(asNumber(a), asNumber(b));
  const others = b.any;
  if (!a.any || !others) return null;
  const results = new Set(a.any.flatMap((l) => others.map((r) => l < r)));
  return results.size === 1 ? results.has(true) : null;
}

/** Whether two values are equal. `loose`: by ==, which turns one type into another (ECMA-262 7.2.13): left open here. */
function same(a: Value, b: Value, loose: boolean): boolean | null {
  if (a.type === 'number' && b.type === 'number') {
    if (isSame(a, b)) return true;
    return isLess(a, b) || isLess(b, a) || isInGap(a, b) ? false : null;
  }
  if (a.type === 'text' && b.type === 'text') {
    if (!a.any || !b.any) return null;
    const others = b.any;
    if (!a.any.some((t) => others.includes(t))) return false;
    return a.any.length === 1 && b.any.length === 1 ? true : null;
  }
  if (a.type === 'flag' && b.type === 'flag') return a.is === null || b.is === null ? null : a.is === b.is;
  if (a.type === 'unknown' || b.type === 'unknown') return null;
  return a.type === b.type || loose ? null : false;
}

/** Text joined end to end, where both sides are known exactly enough to be listed. */
function glue(a: Value, b: Value): Value {
  const left = texts(a);
  const right = texts(b);
  if (!left || !right || left.length * right.length > 16) return { type: 'text', any: null };
  return { type: 'text', any: left.flatMap((l) => right.map((r) => l + r)) };
}

function texts(value: Value): readonly string[] | null {
  if (value.type === 'text') return value.any;
  const text = render(value);
  return text === null ? null : [text];
}

/** Everything that either value can be. */
export function joinValues(a: Value, b: Value): Value {
  if (a.type === 'number' && b.type === 'number') return number(join(a, b));
  if (a.type === 'flag' && b.type === 'flag') return flag(a.is === b.is ? a.is : null);
  if (a.type === 'text' && b.type === 'text')
    return { type: 'text', any: a.any && b.any ? [...new Set([...a.any, ...b.any])] : null };
  return UNKNOWN;
}

/** The text that a value becomes in a filled-in sequence; null where it is not exact. Numbers never get an exponent. */
export function render(value: Value): string | null {
  switch (value.type) {
    case 'number':
      return isExact(value) ? plainNumber(value.lo) : null;
    case 'text':
      return value.any?.length === 1 ? (value.any[0] ?? null) : null;
    case 'flag':
      return value.is === null ? null : String(value.is);
    default:
      return null;
  }
}

/** A number as a controller reads it: shortest form, decimal point, no exponent. */
export function plainNumber(n: number): string {
  const text = String(n);
  if (!text.includes('e')) return text;
  return Math.abs(n) < 1 ? n.toFixed(20).replace(/\.?0+$/, '') : BigInt(Math.round(n)).toString();
}

/** What a job's plain value is as a Value. */
export const plainValue = (plain: number | string | boolean): Value =>
  typeof plain === 'number'
    ? { type: 'number', lo: plain, hi: plain }
    : typeof plain === 'string'
      ? { type: 'text', any: [plain] }
      : flag(plain);

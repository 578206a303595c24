import {
  absolute,
  add,
  bounds,
  divide,
  isExact,
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
import type { Expr } from './expression.ts';
import type { Env, Value } from './value.ts';

const UNKNOWN: Value = { type: 'unknown' };
const number = (b: Known): Value => (b ? { type: 'number', ...b } : UNKNOWN);
const flag = (is: boolean | null): Value => ({ type: 'flag', is });

/** The value of an expression: everything that it can be when every name stays within what `env` says of it. Total. */
export function evaluate(expr: Expr, env: Env): Value {
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
    case 'choice': {
      const test = truth(evaluate(expr.test, env));
      if (test === true) return evaluate(expr.yes, env);
      if (test === false) return evaluate(expr.no, env);
      return joinValues(evaluate(expr.yes, env), evaluate(expr.no, env));
    }
    case 'call':
      return call(
        expr.name,
        expr.args.map((arg) => asNumber(evaluate(arg, env))),
      );
  }
}

function binary(expr: Extract<Expr, { type: 'binary' }>, env: Env): Value {
  const left = evaluate(expr.left, env);
  if (expr.op === '&&' || expr.op === '||') {
    const is = truth(left);
    const decided = expr.op === '&&' ? is === false : is === true;
    if (decided) return left;
    const right = evaluate(expr.right, env);
    return is === null ? joinValues(left, right) : right;
  }
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

/** The number that a value is; unknown for texts, flags and lists. */
export function asNumber(value: Value): Known {
  if (value.type !== 'number') return null;
  const { lo, hi, over, room } = value;
  if (over) return { lo, hi, over };
  return room ? { lo, hi, room } : bounds(lo, hi);
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
  if (a.type !== 'text' || b.type !== 'text') return below(asNumber(a), asNumber(b));
  const others = b.any;
  if (!a.any || !others) return null;
  const results = new Set(a.any.flatMap((l) => others.map((r) => l < r)));
  return results.size === 1 ? results.has(true) : null;
}

/** a < b: true or false where it holds over all of both bounds. */
function below(a: Known, b: Known): boolean | null {
  if (!a || !b) return null;
  if (a.hi < b.lo) return true;
  if (a.lo >= b.hi) return false;
  if (!a.over || !b.over) return null;
  // Both hang on names: the difference may be decided where the ranges overlap. A hair's breadth stays open, since the
  // sums of one job are rounded in another order.
  const difference = subtract(a, b);
  if (!difference) return null;
  return difference.hi < -ROUNDING ? true : difference.lo > ROUNDING ? false : null;
}

const ROUNDING = 1e-9;

/** Whether two values are equal. `loose`: by ==, which turns one type into another (ECMA-262 7.2.13): left open here. */
function same(a: Value, b: Value, loose: boolean): boolean | null {
  if (a.type === 'number' && b.type === 'number') {
    if (a.hi < b.lo || b.hi < a.lo) return false;
    return isExact(a) && isExact(b) ? true : null;
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

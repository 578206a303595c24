import {
  absolute,
  add,
  bounds,
  divide,
  hullOf,
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
import { elementIn, listOf, rangeOf, textsOf } from './collections.ts';
import type { BinaryOp, Expr } from './expr.ts';
import {
  type Ask,
  fixedTexts,
  power,
  quotient,
  rest,
  rounded,
  unclearPower,
  wholeQuotient,
  writtenOut,
} from './lent.ts';
import { narrowWith } from './narrowing.ts';
import type { Rules } from './rules.ts';
import { isAlways, truthBy } from './truth.ts';
import { asNumber, type Env, memoryOf, type Value } from './value.ts';
import { plainNumber, written } from './writing.ts';

export { truthBy as truth } from './truth.ts';
export { asNumber } from './value.ts';
export { plainNumber, written as render } from './writing.ts';

const UNKNOWN: Value = { type: 'unknown' };
const NOTHING: Value = { type: 'unknown', nothing: true };
const number = (b: Known): Value => (b ? { type: 'number', ...b } : UNKNOWN);
const flag = (is: boolean | null): Value => ({ type: 'flag', is });

/** The value of an expression: everything that it can be when every name stays within what `env` says of it. Total. */
export function evaluate(expr: Expr, env: Env): Value {
  const value = worked(expr, env);
  if (value.type !== 'flag' || value.is !== null) return value;
  const known = saidAround(expr, env);
  return known === null ? value : flag(known);
}

/** Whether a condition holds by what it works out to. null: in some jobs, or by a rule that nobody stated. */
export const truthOf = (condition: Expr, env: Env): boolean | null =>
  truthOfValue(evaluate(condition, env), condition, env);

function truthOfValue(value: Value, condition: Expr, env: Env): boolean | null {
  const { rules } = condition;
  if (!rules) return truthBy(value);
  if (condition.type === 'unclear') return value.type === 'flag' ? value.is : logical(condition, env);
  return truthBy(value, rules, askIn(env));
}

const askIn = ({ asks }: Env): Ask => (asks ? (rule) => asks.add(rule) : ASK_NOBODY);
const ASK_NOBODY: Ask = () => {};

/** Whether a condition is known to hold by those around it: it is one of them. */
function saidAround(condition: Expr, { facts }: Env): boolean | null {
  if (!facts || facts.truths.size === 0) return null;
  const { key, holds } = conditionKey(condition);
  const known = facts.truths.get(key);
  return known === undefined ? null : known === holds;
}

/** Whether a condition holds, of which this is the value: as it works out, else as those around it say. null: in some jobs. */
export const truthIn = (value: Value, condition: Expr, env: Env): boolean | null =>
  truthOfValue(value, condition, env) ?? saidAround(condition, env);

function worked(expr: Expr, env: Env): Value {
  switch (expr.type) {
    case 'number':
      return number(bounds(expr.value, expr.value));
    case 'text':
      return { type: 'text', any: [expr.value] };
    case 'flag':
      return flag(expr.value);
    case 'name':
      return expr.means && !env.asks ? once(expr, env, meant) : (env(expr.name) ?? UNKNOWN);
    case 'nothing':
      return NOTHING;
    case 'unary': {
      const arg = evaluate(expr.arg, env);
      if (expr.op === '!') return flag(not(truthOfValue(arg, expr.arg, env)));
      return number(expr.op === '-' ? negate(asNumber(arg)) : asNumber(arg));
    }
    case 'binary':
      return binary(expr, env);
    case 'choice':
      return once(expr, env, choice);
    case 'call':
      return call(
        expr,
        expr.args.map((arg) => evaluate(arg, env)),
        env,
      );
    case 'index':
      return elementIn(expr, evaluate(expr.list, env), evaluate(expr.index, env), env);
    case 'format':
      return formatted(expr, evaluate(expr.arg, env), env);
    case 'list':
      return listOf(expr.items.map((item) => evaluate(item, env)));
    case 'range':
      return rangeOf(asNumber(evaluate(expr.from, env)), asNumber(evaluate(expr.to, env)));
    case 'unclear':
      return once(expr, env, unclear);
    case 'foreign':
      return foreign(expr);
  }
}

type Name = Extract<Expr, { type: 'name' }>;
const meant = ({ means }: Name, env: Env): Value => (means ? evaluate(means, env) : UNKNOWN);

/** What is known of a value that nobody can work out. */
function foreign({ gives }: Extract<Expr, { type: 'foreign' }>): Value {
  if (!gives) return UNKNOWN;
  if (gives.is === 'text') return { type: 'text', any: null };
  if (gives.is === 'flag') return flag(null);
  const { lo, hi } = gives.range ?? { lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY };
  return number({ lo, hi });
}

type Branching = Extract<Expr, { type: 'choice' | 'binary' | 'name' | 'unclear' }>;

/** The value of what branches, worked out once: a condition is asked for more than once, and they lie in one another. */
function once<T extends Branching>(expr: T, env: Env, work: (expr: T, env: Env) => Value): Value {
  const memory = memoryOf(env);
  const before = memory.worked?.get(expr);
  if (before) return before;
  const value = work(expr, env);
  memory.worked ??= new Map();
  memory.worked.set(expr, value);
  return value;
}

function choice({ test, yes, no, met }: Extract<Expr, { type: 'choice' }>, env: Env): Value {
  const is = truthIn(evaluate(test, env), test, env);
  if (is !== null) return evaluate(is ? yes : no, env);
  // Ways that met may hold others that did: each under a condition of its own would be without end.
  if (met) return joinValues(evaluate(yes, env), evaluate(no, env));
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
  if (expr.op === '??') return otherwise(expr, env);
  // A section's condition is asked for again and again while its body is run.
  return COMPARES.has(expr.op) && !env.asks ? once(expr, env, operated) : operated(expr, env);
}

const COMPARES: ReadonlySet<BinaryOp> = new Set(['<', '<=', '>', '>=', '==', '===', '!=', '!==']);

/** An operation on the values of both its sides. */
function operated(expr: Extract<Expr, { type: 'binary' }>, env: Env): Value {
  const left = evaluate(expr.left, env);
  const right = evaluate(expr.right, env);
  if (expr.rules) return lent(expr, left, right, expr.rules, env);
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
    default:
      return flag(compared(expr.op, left, right, false));
  }
}

/** @param open Whether nobody says if case counts and in which order texts stand. */
function compared(op: BinaryOp, left: Value, right: Value, open: boolean): boolean | null {
  const texts = open && left.type === 'text' && right.type === 'text';
  switch (op) {
    case '<':
      return texts ? null : less(left, right);
    case '<=':
      return texts ? null : not(less(right, left));
    case '>':
      return texts ? null : less(right, left);
    case '>=':
      return texts ? null : not(less(left, right));
    case '==':
    case '===':
      return alikeBut(texts, left, right) ? null : same(left, right, op === '==');
    default:
      return alikeBut(texts, left, right) ? null : not(same(left, right, op === '!='));
  }
}

/** Whether two texts may be equal but for their case, and are not certainly equal. */
function alikeBut(texts: boolean, a: Value, b: Value): boolean {
  if (!texts || a.type !== 'text' || b.type !== 'text' || !a.any || !b.any) return false;
  const others = new Set(b.any.map((t) => t.toLowerCase()));
  return same(a, b, false) === false && a.any.some((t) => others.has(t.toLowerCase()));
}

/** The same in a language whose rules may be others, or are not stated. */
function lent(expr: Extract<Expr, { type: 'binary' }>, left: Value, right: Value, rules: Rules, env: Env): Value {
  const ask = askIn(env);
  const [a, b] = [asNumber(left), asNumber(right)];
  switch (expr.op) {
    case '+':
      if (left.type !== 'text' && right.type !== 'text') return number(add(a, b));
      if (rules.textPlusNumber === 'joined') return glue(left, right, rules, ask);
      ask('textPlusNumber');
      return rules.textPlusNumber === 'sum' ? number(add(summand(left), summand(right))) : UNKNOWN;
    case '~':
      return glue(left, right, rules, ask);
    case '-':
      return number(subtract(a, b));
    case '*':
      return number(multiply(a, b));
    case '/':
      return number(quotient(a, b, rules, ask));
    case '//':
      return number(wholeQuotient(a, b, rules, ask));
    case '%':
      return number(rest(a, b, rules, ask));
    case '**':
      return number(power(a, b));
    case '=~':
      return flag(null);
    default:
      return flag(compared(expr.op, left, right, true));
  }
}

/** The number that a text of digits is. */
function summand(value: Value): Known {
  if (value.type !== 'text' || value.any?.length !== 1) return asNumber(value);
  const text = value.any[0] ?? '';
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text.trim()) ? bounds(Number(text), Number(text)) : null;
}

/** The left side, or the right one where the left is missing: that may be, whatever is known of its value. */
function otherwise({ left, right, empty }: Extract<Expr, { type: 'binary' }>, env: Env): Value {
  if (left.type === 'name' && env.has && !env.has(left.name)) return evaluate(right, env);
  const value = evaluate(left, env);
  if (empty && value.type !== 'number' && value.type !== 'unknown') {
    const is = truthBy(value);
    if (is === false) return evaluate(right, env);
    if (is === null) return joinValues(value, evaluate(right, env));
  }
  if (value.type === 'unknown') return value.nothing ? evaluate(right, env) : UNKNOWN;
  const isExactly = value.type === 'number' ? isExact(value) : written(value) !== null || value.type === 'list';
  return isExactly || env.has ? value : joinValues(value, evaluate(right, env));
}

/** A condition, or a number, that may be read in more than one way: what all ways agree on. */
function unclear(expr: Extract<Expr, { type: 'unclear' }>, env: Env): Value {
  const { rule, parts, sign } = expr;
  if (rule === 'power') {
    const numbers = parts.map((part) => asNumber(evaluate(part, env)));
    return number(unclearPower(numbers, sign === true, askIn(env)));
  }
  const values = parts.map((part) => evaluate(part, env));
  if (rule === 'andOr' && values.some(({ type }) => type !== 'flag')) return UNKNOWN;
  // Where “not” may belong to a part of something other than a comparison, nobody knows the kind either.
  if (rule === 'notIsLast' && expr.ops.length === 0) return UNKNOWN;
  return flag(logical(expr, env));
}

function logical({ rule, parts, ops }: Extract<Expr, { type: 'unclear' }>, env: Env): boolean | null {
  const values = parts.map((part) => evaluate(part, env));
  const truths = parts.map((part, i) => truthIn(values[i] ?? UNKNOWN, part, env));
  let is: boolean | null = null;
  if (rule === 'andOr') is = isAlways(truths, ops);
  else {
    const [op] = ops;
    const [left = UNKNOWN, right = UNKNOWN] = values;
    if (op) {
      const whole = not(compared(op, left, right, true));
      const first = compared(op, flag(not(truths[0] ?? null)), right, true);
      is = whole === first ? whole : null;
    }
  }
  if (is === null) env.asks?.add(rule);
  return is;
}

/** A number written out with its digits; a text that is known to be a number there. */
function formatted({ digits, whole, rules }: Extract<Expr, { type: 'format' }>, value: Value, env: Env): Value {
  const a = asNumber(value);
  const out = writtenOut(a, digits, whole === true);
  if (!a || !out) return { type: 'text', any: null };
  if (!isExact(a) || !rules) return { type: 'text', any: null, number: { lo: out.lo, hi: out.hi } };
  const any = whole ? [plainNumber(Math.trunc(a.lo))] : fixedTexts(a.lo, digits, rules);
  if (any.length > 1) env.asks?.add('rounding');
  return { type: 'text', any, number: { lo: out.lo, hi: out.hi } };
}

function call(expr: Extract<Expr, { type: 'call' }>, values: readonly Value[], env: Env): Value {
  const { name, rules } = expr;
  const args = values.map(asNumber);
  const first = args[0] ?? null;
  const digits = args.length > 1 ? (isExact(args[1] ?? null) ? (args[1]?.lo ?? Number.NaN) : Number.NaN) : 0;
  if (rules && (name === 'round' || digits !== 0) && (name === 'round' || name === 'floor' || name === 'ceil'))
    return number(name === 'round' ? rounded(first, digits, rules, askIn(env)) : null);
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
    case 'trunc':
      return number(monotone(first, Math.trunc));
    case 'round':
      return number(monotone(first, Math.round));
    default:
      return textsOf(name, values, rules);
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
function glue(a: Value, b: Value, rules?: Rules, ask?: Ask): Value {
  const left = texts(a, rules, ask);
  const right = texts(b, rules, ask);
  if (!left || !right || left.length * right.length > 16) return { type: 'text', any: null };
  return { type: 'text', any: left.flatMap((l) => right.map((r) => l + r)) };
}

function texts(value: Value, rules?: Rules, ask?: Ask): readonly string[] | null {
  if (value.type === 'text') return value.any;
  const text = written(value, rules, ask);
  return text === null ? null : [text];
}

/** Everything that either value can be. */
export function joinValues(a: Value, b: Value): Value {
  if (a.type === 'number' && b.type === 'number') return number(join(a, b));
  if (a.type === 'flag' && b.type === 'flag') return flag(a.is === b.is ? a.is : null);
  if (a.type === 'text' && b.type === 'text' && a.number && b.number)
    return {
      type: 'text',
      any: a.any && b.any ? [...new Set([...a.any, ...b.any])] : null,
      number: hullOf(a.number, b.number) ?? a.number,
    };
  if (a.type === 'text' && b.type === 'text')
    return { type: 'text', any: a.any && b.any ? [...new Set([...a.any, ...b.any])] : null };
  return UNKNOWN;
}

/** What a job's plain value is as a Value. */
export const plainValue = (plain: number | string | boolean): Value =>
  typeof plain === 'number'
    ? { type: 'number', lo: plain, hi: plain }
    : typeof plain === 'string'
      ? { type: 'text', any: [plain] }
      : flag(plain);

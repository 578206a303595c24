import { evaluate, truthOf } from './evaluate.ts';
import { childrenOf, type Expr, namesIn } from './expr.ts';
import { narrow } from './narrow.ts';
import type { Env, Value } from './value.ts';
import type { Vocabulary } from './vocabulary.ts';

/** A division or remainder where it stands in an expression. */
export interface Division {
  readonly expr: Extract<Expr, { type: 'binary' }>;
  /** What is known of the names where it is worked out. */
  readonly env: Env;
  /** Conditions of the expression itself that lead here: the test of a choice, the left side of && or ||. */
  readonly guards: readonly { readonly condition: Expr; readonly holds: boolean }[];
  /** Whether it is worked out whenever the expression is; null: it depends. Those that never are, are left out. */
  readonly done: true | null;
}

/** Every division in an expression, short circuits taken into account. */
export function divisionsIn(expr: Expr, env: Env): Division[] {
  const found: Division[] = [];
  walk(expr, { env, guards: [], done: true }, found);
  return found;
}

type Where = Omit<Division, 'expr'>;

function walk(expr: Expr, where: Where, found: Division[]): void {
  const behind = (condition: Expr, holds: boolean, part: Expr): void => {
    const is = truthOf(condition, where.env);
    if (is === !holds) return;
    const guards = [...where.guards, { condition, holds }];
    walk(part, { env: narrow(condition, holds, where.env), guards, done: is === null ? null : where.done }, found);
  };
  switch (expr.type) {
    case 'unary':
      walk(expr.arg, where, found);
      return;
    case 'call':
      for (const arg of expr.args) walk(arg, where, found);
      return;
    case 'choice':
      walk(expr.test, where, found);
      behind(expr.test, true, expr.yes);
      behind(expr.test, false, expr.no);
      return;
    case 'binary':
      walk(expr.left, where, found);
      if (expr.op === '&&' || expr.op === '||') {
        behind(expr.left, expr.op === '&&', expr.right);
        return;
      }
      if (DIVIDES.has(expr.op)) found.push({ expr, ...where });
      walk(expr.right, where, found);
      return;
    default:
      // In a language whose text does not show what is worked out when, nobody knows whether it is.
      for (const part of childrenOf(expr)) walk(part, { ...where, done: null as true | null }, found);
  }
}

const DIVIDES: ReadonlySet<string> = new Set(['/', '%', '//']);

/** Whether a condition that holds, or does not, leaves no job in which `divisor` is zero. */
export function rulesOutZero(condition: Expr, holds: boolean, divisor: Expr): boolean {
  if (condition.type === 'unary' && condition.op === '!') return rulesOutZero(condition.arg, !holds, divisor);
  if (holds && alike(condition, divisor)) return true;
  if (condition.type !== 'binary') return false;
  const { op, left, right } = condition;
  if ((op === '&&' && holds) || (op === '||' && !holds))
    return rulesOutZero(left, holds, divisor) || rulesOutZero(right, holds, divisor);
  const bound = alike(left, divisor) ? right : alike(right, divisor) ? left : null;
  const value = bound && evaluate(bound, () => undefined);
  if (value?.type !== 'number' || value.lo !== value.hi) return false;
  const zeroPasses = compare(op, bound === right ? 0 : value.lo, bound === right ? value.lo : 0);
  return zeroPasses !== null && zeroPasses !== holds;
}

function compare(op: string, a: number, b: number): boolean | null {
  switch (op) {
    case '<':
      return a < b;
    case '<=':
      return a <= b;
    case '>':
      return a > b;
    case '>=':
      return a >= b;
    case '==':
    case '===':
      return a === b;
    case '!=':
    case '!==':
      return a !== b;
    default:
      return null;
  }
}

/** Whether two expressions are written alike, blanks and brackets aside. */
function alike(a: Expr, b: Expr): boolean {
  switch (a.type) {
    case 'number':
    case 'text':
    case 'flag':
      return a.type === b.type && a.value === b.value;
    case 'name':
      return b.type === 'name' && a.name === b.name && a.means === b.means;
    case 'unary':
      return b.type === 'unary' && a.op === b.op && alike(a.arg, b.arg);
    case 'binary':
      return b.type === 'binary' && a.op === b.op && alike(a.left, b.left) && alike(a.right, b.right);
    case 'choice':
      return b.type === 'choice' && alike(a.test, b.test) && alike(a.yes, b.yes) && alike(a.no, b.no);
    case 'call':
      return (
        b.type === 'call' &&
        a.name === b.name &&
        a.args.length === b.args.length &&
        a.args.every((arg, i) => alike(arg, b.args[i] as Expr))
      );
    default:
      return a === b;
  }
}

/**
 * Values of names at which a divisor is zero while all other names have their usual value: where exact jobs are worth a
 * try. Found for divisors that grow evenly with the name, as `heat.bed.first - 20` does.
 * @param usual The usual value of each name.
 */
export function zeroValues(vocabulary: Vocabulary, exprs: Iterable<Expr>, usual: Env): [string, number][] {
  const found: [string, number][] = [];
  for (const expr of exprs) {
    for (const { expr: division } of divisionsIn(expr, usual)) {
      for (const name of new Set(namesIn(division.right).map((n) => n.name))) {
        const known = vocabulary.names.get(name);
        const at = known?.range ? zeroOf(division.right, name, usual) : null;
        if (at === null || !known?.range || at < known.range.lo || at > known.range.hi) continue;
        if (!known.whole || Number.isInteger(at)) found.push([name, at]);
      }
    }
  }
  return found;
}

/** Where an expression that grows evenly with a name is zero; null where it does not, or nowhere exactly. */
function zeroOf(expr: Expr, name: string, usual: Env): number | null {
  const at = (n: number): number => {
    const value: Value = evaluate(expr, (other) => (other === name ? { type: 'number', lo: n, hi: n } : usual(other)));
    return value.type === 'number' && value.lo === value.hi ? value.lo : Number.NaN;
  };
  const [zero, one] = [at(0), at(1)];
  const root = Math.round((zero / (zero - one)) * 1e6) / 1e6;
  return Number.isFinite(root) && at(root) === 0 ? root : null;
}

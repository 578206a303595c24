import { evaluate, truthOf } from './evaluate.ts';
import { type Expr, FUNCTIONS } from './expr.ts';
import type { Env, Value } from './value.ts';

/**
 * Whether an expression may give anything but a number: a text, true or false, a list. `evaluate` says only that it does
 * not know where one branch is a number and another is not. What counts with numbers (a division by zero, a name that is
 * not known) is never taken for another kind. One evaluation, and one walk where that does not tell.
 */
export function mayBeNoNumber(expr: Expr, env: Env): boolean {
  const { type } = evaluate(expr, env);
  return type === 'unknown' ? [...typesOf(expr, env)].some(isOther) : type !== 'number';
}

/** Whether an expression may give a list. */
export const mayBeList = (expr: Expr, env: Env): boolean => typesOf(expr, env).has('list');

type Type = Value['type'];

const isOther = (type: Type): boolean => type !== 'number' && type !== 'unknown';

/** The types that the value of an expression may have. */
function typesOf(expr: Expr, env: Env): ReadonlySet<Type> {
  switch (expr.type) {
    case 'name':
      if (expr.means) return typesOf(expr.means, env);
      return new Set([env(expr.name)?.type ?? 'unknown']);
    case 'unary':
      return new Set([expr.op === '!' ? 'flag' : 'number']);
    case 'choice': {
      const test = truthOf(expr.test, env);
      if (test !== null) return typesOf(test ? expr.yes : expr.no, env);
      return new Set([...typesOf(expr.yes, env), ...typesOf(expr.no, env)]);
    }
    case 'call':
      return new Set([expr.name in FUNCTIONS ? 'number' : evaluate(expr, env).type]);
    case 'binary': {
      if (COMPARES.test(expr.op)) return new Set(['flag']);
      if (expr.op === '~') return new Set(['text']);
      const joins = expr.op === '&&' || expr.op === '||' || expr.op === '??';
      if (!joins && expr.op !== '+') return new Set(['number']);
      const either = new Set([...typesOf(expr.left, env), ...typesOf(expr.right, env)]);
      // What is added to a text becomes part of it.
      return joins ? either : new Set(either.has('text') ? ['number', 'text'] : ['number']);
    }
    case 'index':
    case 'foreign':
    case 'unclear':
      return new Set([evaluate(expr, env).type]);
    case 'nothing':
      return new Set(['unknown']);
    case 'format':
      return new Set(['text']);
    case 'range':
      return new Set(['list']);
    default:
      return new Set([expr.type]);
  }
}

const COMPARES = /^([<>]=?|[!=]==?|=~)$/;

import { once } from '../text/once.ts';
import { childrenOf, type Expr } from './expr.ts';

/** A condition as it is written in one way only, and whether it is that or the opposite: `b > a` is `a < b`. */
export interface ConditionKey {
  readonly key: string;
  readonly holds: boolean;
}

/**
 * The key of a condition, by which two that always turn out alike are known as one: blanks, brackets, the order of a
 * comparison, `!` and `>=` for `<` do not count.
 */
export const conditionKey = once(keyOf);

function keyOf(expr: Expr): ConditionKey {
  if (expr.type === 'unary' && expr.op === '!') {
    const { key, holds } = conditionKey(expr.arg);
    return { key, holds: !holds };
  }
  if (expr.type !== 'binary') return { key: canonical(expr), holds: true };
  const [a, b] = [canonical(expr.left), canonical(expr.right)];
  switch (expr.op) {
    case '<':
      return { key: `(${a} < ${b})`, holds: true };
    case '>':
      return { key: `(${b} < ${a})`, holds: true };
    case '>=':
      return { key: `(${a} < ${b})`, holds: false };
    case '<=':
      return { key: `(${b} < ${a})`, holds: false };
    case '!=':
      return { key: swapped('==', a, b), holds: false };
    case '!==':
      return { key: swapped('===', a, b), holds: false };
    default:
      return { key: canonical(expr), holds: true };
  }
}

const SWAPS: ReadonlySet<string> = new Set(['*', '==', '===']);

const swapped = (op: string, a: string, b: string): string => (b < a ? `(${b} ${op} ${a})` : `(${a} ${op} ${b})`);

/** An expression written in one way. What is added keeps its order: it may be text. */
function canonical(expr: Expr): string {
  switch (expr.type) {
    case 'number':
      return String(expr.value);
    case 'text':
      return JSON.stringify(expr.value);
    case 'flag':
      return String(expr.value);
    case 'name':
      // A name that is set twice is two.
      return expr.means ? `${expr.name}@${expr.means.type}${expr.means.span.start}` : expr.name;
    case 'unary':
      return expr.op === '+' ? `+${canonical(expr.arg)}` : `${expr.op}(${canonical(expr.arg)})`;
    case 'binary': {
      const [a, b] = [canonical(expr.left), canonical(expr.right)];
      return SWAPS.has(expr.op) ? swapped(expr.op, a, b) : `(${a} ${expr.op} ${b})`;
    }
    case 'choice':
      return `(${canonical(expr.test)} ? ${canonical(expr.yes)} : ${canonical(expr.no)})`;
    case 'call':
      return `${expr.name}(${expr.args.map(canonical).join(', ')})`;
    case 'nothing':
      return 'nothing';
    case 'index':
      return `${canonical(expr.list)}[${canonical(expr.index)}]${expr.own ?? ''}`;
    case 'foreign':
      // Nobody knows whether it gives the same twice.
      return `foreign@${expr.span.start}`;
    case 'unclear':
      return `${expr.rule}${expr.sign ? '-' : ''}(${expr.parts.map(canonical).join(` ${expr.ops.join()} `)})`;
    default:
      return `${expr.type}${expr.type === 'format' ? `${expr.digits}${expr.whole ?? ''}` : ''}(${childrenOf(expr).map(canonical).join(', ')})`;
  }
}

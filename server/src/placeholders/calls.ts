import { type AnyFunction, type Expr, FUNCTIONS, LENT } from './expr.ts';
import type { LanguageFunction } from './grammar.ts';

// What a call of another language's function is in the one tree.

type Bare<T> = T extends unknown ? Omit<T, 'span' | 'rules'> : never;
/** An expression that has not been given its place yet. */
export type Placeless = Bare<Expr>;

/** Digits behind the point that are still written out. */
export const MOST_DIGITS = 20;

/** null: the function is given too few or too many arguments, or ones that say nothing to us. */
export function callOf(fn: LanguageFunction, args: readonly Expr[]): Placeless | null {
  if (fn.is !== 'ours') return null;
  const { name } = fn;
  const [first, second] = args;
  if (!first) return null;
  if (name === 'fixed') return fixedOf(args);
  if (name === 'filled')
    return second && args.length === 2 ? { type: 'binary', op: '??', left: first, right: second, empty: true } : null;
  if (name === 'default') return second && args.length <= 3 ? defaultOf(first, second, args[2]) : null;
  const least = factsOf(name).least;
  const most = ROUNDS.has(name) ? 2 : factsOf(name).most;
  return args.length >= least && args.length <= most ? { type: 'call', name, args } : null;
}

/** With "true" behind it, in place of all that does not hold. */
function defaultOf(left: Expr, right: Expr, falsy: Expr | undefined): Placeless | null {
  if (falsy && falsy.type !== 'flag') return null;
  return { type: 'binary', op: falsy?.value ? '||' : '??', left, right };
}

/** Functions that take a number of digits in other languages. */
const ROUNDS: ReadonlySet<AnyFunction> = new Set(['round', 'floor', 'ceil']);

const factsOf = (name: AnyFunction): { readonly least: number; readonly most: number } =>
  name in FUNCTIONS ? FUNCTIONS[name as keyof typeof FUNCTIONS] : LENT[name as keyof typeof LENT];

/** A value with digits: `fixed(x)`, `fixed(x, 2)`, `fixed(x, "%.2f")`, `fixed("%.2f", x)`. */
function fixedOf(args: readonly Expr[]): Placeless | null {
  const [first, second] = args;
  if (!first || args.length > 2) return null;
  if (!second) return { type: 'format', arg: first, digits: 0 };
  if (second.type === 'number' && Number.isInteger(second.value) && second.value >= 0 && second.value <= MOST_DIGITS)
    return { type: 'format', arg: first, digits: second.value };
  const [pattern, value] = first.type === 'text' ? [first, second] : [second, first];
  if (pattern.type !== 'text') return null;
  const [, before = '', digits = '', letter = '', behind = ''] =
    /^((?:[^%]|%%)*)%(?:\.(\d{1,2}))?([dfi])((?:[^%]|%%)*)$/.exec(pattern.value) ?? [];
  if (letter === '') return null;
  const written: Placeless =
    letter === 'f'
      ? { type: 'format', arg: value, digits: Math.min(MOST_DIGITS, digits === '' ? 6 : Number(digits)) }
      : { type: 'format', arg: value, digits: 0, whole: true };
  return around(written, pattern, before.replaceAll('%%', '%'), behind.replaceAll('%%', '%'));
}

function around(inner: Placeless, { span, rules }: Expr, before: string, behind: string): Placeless {
  const placed = (part: Placeless): Expr => ({ ...part, span, ...(rules ? { rules } : {}) }) as Expr;
  let whole = inner;
  if (before !== '')
    whole = { type: 'binary', op: '~', left: placed({ type: 'text', value: before }), right: placed(whole) };
  if (behind !== '')
    whole = { type: 'binary', op: '~', left: placed(whole), right: placed({ type: 'text', value: behind }) };
  return whole;
}

import type { BinaryOp } from './expr.ts';
import type { LanguageRule, Rules } from './rules.ts';
import type { Value } from './value.ts';

type Asks = ((rule: LanguageRule) => void) | undefined;

/**
 * Whether a value counts as true. Without rules: as in ECMA-262 7.1.2, and an empty list counts as false, as in Mustache.
 * null: may be either, or a rule decides that nobody stated, which is asked for.
 */
export function truthBy(value: Value, rules?: Rules, ask?: Asks): boolean | null {
  switch (value.type) {
    case 'flag':
      return value.is;
    case 'number':
      if (value.lo > 0 || value.hi < 0) return true;
      return byRule('zeroHolds', value.lo === 0 && value.hi === 0, rules, ask);
    case 'text':
      return truthOfText(value.any, rules, ask);
    case 'list':
      return value.length.lo > 0 ? true : byRule('emptyListHolds', value.length.hi === 0, rules, ask);
    default:
      return value.nothing ? false : null;
  }
}

/** An empty text, and in some languages the text 0, may not hold. */
function truthOfText(any: readonly string[] | null, rules: Rules | undefined, ask: Asks): boolean | null {
  const all = any?.length === 1;
  const ways = (any ?? ['', '0', 'x']).map((t) => {
    if (t === '') return byRule('emptyTextHolds', all, rules, ask, false);
    return t === '0' && rules ? byRule('zeroTextHolds', all, rules, ask, false) : true;
  });
  const [first = null] = ways;
  return ways.every((is) => is === first) ? first : null;
}

/** What nothing stands for: all of the value (which is then asked for), or some of it. */
function byRule(
  rule: 'zeroHolds' | 'emptyTextHolds' | 'emptyListHolds' | 'zeroTextHolds',
  all: boolean,
  rules: Rules | undefined,
  ask: Asks,
  partly = true,
): boolean | null {
  const holds = rules ? rules[rule] : false;
  if (holds === true) return true;
  if (holds === null && all) ask?.(rule);
  return holds === false && (all || !partly) ? false : null;
}

/** What `a or b and c` gives in every way in which it may belong together; null where they differ, or nobody knows. */
export function isAlways(truths: readonly (boolean | null)[], ops: readonly BinaryOp[]): boolean | null {
  const [first = null, ...others] = truths;
  const fromLeft = others.reduce((is, next, i) => combine(ops[i], is, next), first);
  const fromRight = truths
    .slice(0, -1)
    .reduceRight((is: boolean | null, next, i) => combine(ops[i], next, is), truths.at(-1) ?? null);
  let [any, all]: [boolean | null, boolean | null] = [false, first];
  for (const [i, next] of others.entries()) {
    if (ops[i] === '&&') all = combine('&&', all, next);
    else [any, all] = [combine('||', any, all), next];
  }
  const andFirst = combine('||', any, all);
  return fromLeft === fromRight && fromLeft === andFirst ? fromLeft : null;
}

function combine(op: BinaryOp | undefined, a: boolean | null, b: boolean | null): boolean | null {
  const decides = op === '||';
  if (a === decides || b === decides) return decides;
  return a === null || b === null ? null : !decides;
}

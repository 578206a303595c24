import { type Division, divisionsIn, rulesOutZero } from '../placeholders/divisors.ts';
import { boundsEnv } from '../placeholders/environment.ts';
import { evaluate } from '../placeholders/evaluate.ts';
import { namesIn } from '../placeholders/expression.ts';
import { spellerOf } from '../placeholders/limited.ts';
import type { Env } from '../placeholders/value.ts';
import { slice } from '../text/span.ts';
import type { Report, Rule, View } from './rule.ts';
import { sayNames } from './sayNames.ts';
import { type TagPlace, tagPlaces } from './tagPlace.ts';

/** A division, or a remainder, by something that is zero. */
export const dividesByZero: Rule = {
  id: 'divides-by-zero',
  reads: 'tags',
  severity: 'error',
  title: 'A division by zero',
  scope: 'line',
  check(view, report) {
    const all = boundsEnv(view.vocabulary);
    for (const [place, division] of divisions(view, view.trace.env)) {
      const found = byZero(view, place, division, all);
      if (found) report(found);
    }
  },
  blind(view) {
    const all = boundsEnv(view.vocabulary);
    for (const [place, { expr }] of divisions(view, all)) {
      if (evaluate(expr.right, all).type !== 'unknown' || namesIn(expr.right).length === 0) continue;
      return `what “${slice(view.tree.text, expr.right.span)}” can be is not known, and “${slice(view.tree.text, place.expr.span)}” divides by it`;
    }
    return null;
  },
};

/** Every division that some job works out, with its place. */
function divisions(view: View, env: Env): (readonly [TagPlace, Division])[] {
  if (!hasDivision(view)) return [];
  return tagPlaces(view, env)
    .filter(({ there }) => there !== false)
    .flatMap((place) => divisionsIn(place.expr, place.env).map((division) => [place, division] as const));
}

/** Most texts have none, and the others are run for many jobs. Other languages may have words for it. */
function hasDivision({ tree, expressions, vocabulary }: View): boolean {
  for (const [tag, { expr }] of expressions)
    if (expr && (vocabulary.grammar || /[/%]/.test(slice(tree.text, tag.inner)))) return true;
  return false;
}

function byZero(view: View, place: TagPlace, division: Division, all: Env): Report | null {
  const divisor = division.expr.right;
  const { span } = divisor;
  const text = slice(view.tree.text, span);
  const any = evaluate(divisor, all);
  // What is not known in all jobs is not known of one: the usual value of such a name is nobody's.
  if (any.type !== 'number') return null;
  const value = evaluate(divisor, division.env);
  if (value.type !== 'number' || value.lo > 0 || value.hi < 0) return null;
  for (const { condition, holds } of [...place.guards, ...division.guards])
    if (rulesOutZero(condition, holds, divisor)) return null;
  const names = sayNames(divisor, all, view.machine);
  const what = division.expr.op === '%' ? 'The remainder of a division' : 'A division';
  const always = any.lo === 0 && any.hi === 0;
  const above = spellerOf(view.vocabulary).shownFunction('max');
  return {
    span,
    certain: place.there === true && division.done === true && value.lo === 0 && value.hi === 0,
    message: `${what} by “${text}”, which ${always ? 'is' : 'can be'} 0${names ? ` (${names})` : ''}: there is no such number, so nothing that a machine can read would be filled in. ${always ? 'Divide by something else.' : `${above === null ? 'Leave' : `Keep it above 0 with ${above}, or leave`} the line out where it is 0.`}`,
  };
}

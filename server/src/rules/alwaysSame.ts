import { boundsEnv } from '../placeholders/environment.ts';
import { evaluate, truthOf } from '../placeholders/evaluate.ts';
import { childrenOf, type Expr } from '../placeholders/expression.ts';
import { narrow } from '../placeholders/narrow.ts';
import { takesValue } from '../placeholders/statements.ts';
import type { Env } from '../placeholders/value.ts';
import type { Tag } from '../syntax/nodes.ts';
import { Pace } from '../text/pieces.ts';
import { slice } from '../text/span.ts';
import { inPieces } from './inPieces.ts';
import type { Report, Rule, View } from './rule.ts';
import { namesNothing, sayNames } from './sayNames.ts';
import { placingTags } from './tagPlace.ts';

/** A condition that comes out the same whatever the job. */
export const alwaysSame: Rule = inPieces({
  id: 'always-same',
  reads: 'tags',
  severity: 'info',
  title: 'A condition that comes out the same in every job',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const env = varying(boundsEnv(view.vocabulary));
    for (const { tag, expr, env: here } of yield* placingTags(view, env)) {
      if (pace.due()) yield;
      const found: Found[] = [];
      if (takesValue(tag)) continue;
      if (tag.kind === 'value') inValue(expr, here, found);
      // Whether a list is empty is no condition that somebody got wrong.
      else if (evaluate(expr, here).type !== 'list') inCondition(expr, here, found);
      for (const one of found) report(said(view, tag, expr, one, env));
    }
  },
});

/**
 * What is open from job to job. A name with a single value is a setting of this machine (a machine without a chamber
 * heater): other machines that share the sequence have another, so nothing is told of it.
 */
const varying =
  (env: Env): Env =>
  (name) => {
    const value = env(name);
    if (value?.type === 'number' && value.lo === value.hi) return { type: 'unknown' };
    if (value?.type === 'text' && value.any?.length === 1) return { type: 'text', any: null };
    return value;
  };

interface Found {
  readonly expr: Expr;
  readonly is: boolean;
}

const COMPARE: ReadonlySet<string> = new Set(['<', '<=', '>', '>=', '==', '!=', '===', '!==']);

/** The outermost part of a condition that is decided; where the whole is open, each part on its own. */
function inCondition(expr: Expr, env: Env, found: Found[]): void {
  const is = truthOf(expr, env);
  if (is !== null) {
    found.push({ expr, is });
    return;
  }
  if (expr.type === 'unary' && expr.op === '!') inCondition(expr.arg, env, found);
  else if (expr.type === 'binary' && (expr.op === '&&' || expr.op === '||')) {
    inCondition(expr.left, env, found);
    inCondition(expr.right, narrow(expr.left, expr.op === '&&', env), found);
  } else inParts(expr, env, found);
}

/** Conditions inside something that is no condition itself. */
function inValue(expr: Expr, env: Env, found: Found[]): void {
  const comparison = expr.type === 'binary' && COMPARE.has(expr.op);
  if (comparison || (expr.type === 'unary' && expr.op === '!')) inCondition(expr, env, found);
  else inParts(expr, env, found);
}

function inParts(expr: Expr, env: Env, found: Found[]): void {
  switch (expr.type) {
    case 'choice':
      inCondition(expr.test, env, found);
      inValue(expr.yes, narrow(expr.test, true, env), found);
      inValue(expr.no, narrow(expr.test, false, env), found);
      return;
    default:
      for (const part of childrenOf(expr)) inValue(part, env, found);
  }
}

const AROUND = 'by the conditions around it';

function said(view: View, tag: Tag, whole: Expr, { expr, is }: Found, outside: Env): Report {
  const text = slice(view.tree.text, expr.span);
  const fixed = namesNothing(expr);
  const names = sayNames(expr, outside, view.machine);
  // The ranges of the names alone may not show it: then what stands around it, or an order between names, does.
  const plain: Env = (name) => {
    const value = outside(name);
    return value?.type === 'number' ? { type: 'number', lo: value.lo, hi: value.hi } : value;
  };
  const by = fixed
    ? 'it names no placeholder'
    : truthOf(expr, plain) !== null
      ? names
      : truthOf(expr, outside) !== null
        ? 'by the order in which the vocabulary puts its names'
        : AROUND;
  const isWhole = tag.kind !== 'value' && expr === whole;
  const filled = is === (tag.kind === 'section');
  const so = !isWhole
    ? 'so it decides nothing here'
    : filled
      ? 'so what the section holds is always filled in'
      : 'so what the section holds is never filled in';
  return {
    span: expr.span,
    // Written out it is most likely meant as a switch.
    ...(fixed ? { severity: 'hint' as const } : {}),
    message: `“${text}” is ${is ? 'true' : 'false'} in every job${by === AROUND ? ' here' : ''}, ${so}${by ? `: ${by}` : ''}. ${
      fixed
        ? 'Remove it where it is no longer needed.'
        : 'Compare with another number or text, or remove the condition.'
    }`,
  };
}

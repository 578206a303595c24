import { exact } from './bounds.ts';
import { type Data, isGroup } from './data.ts';
import { evaluate } from './evaluate.ts';
import { childrenOf, type Expr } from './expr.ts';
import { type FillProblem, missingText } from './fillProblem.ts';
import type { LanguageRule, Rules, UnstatedRule } from './rules.ts';
import type { Env, Value } from './value.ts';
import { plainNumber, written } from './writing.ts';

// Filling in by the rules of another language: what its tags give, and why one gives nothing that is certain.

/** What a name has in a job; `asks`: where only what nobody stated decides, what that is. */
export interface Given {
  readonly value: Data;
  readonly asks: UnstatedRule | null;
}

/** An environment of one place of a text that is being filled in, and what was not settled while it was used. */
export interface Unsettled {
  readonly env: Env;
  readonly asks: Set<UnstatedRule>;
  /** Names that were asked for and have no value. */
  readonly missing: Set<string>;
  /** Lists by their value, as the job gave them. */
  readonly lists: Map<Value, readonly Data[]>;
}

const NOTHING: Value = Object.freeze({ type: 'unknown', nothing: true });

/**
 * The environment over what names have at one place.
 * @param rule What a name without a value gives in this language.
 */
export function envOf(given: (name: string) => Given | null, rule: Rules['missing']): Unsettled {
  const asks = new Set<UnstatedRule>();
  const missing = new Set<string>();
  const lists = new Map<Value, readonly Data[]>();
  const has = (name: string): boolean => {
    const found = given(name);
    return found !== null && (found.asks !== null || (found.value !== undefined && found.value !== null));
  };
  const look = (name: string): Value | undefined => {
    const found = given(name);
    if (found?.asks) {
      asks.add(found.asks);
      if (found.value === undefined) return undefined;
    }
    if (!found || found.value === undefined || found.value === null) {
      missing.add(name);
      // In a condition it never holds, and written out it is nothing.
      return rule === 'nothing' || rule === 'the tag' ? NOTHING : undefined;
    }
    return plainValueOf(found.value, lists, 0);
  };
  return { env: Object.assign(look, { asks, has }), asks, missing, lists };
}

const DEEPEST = 50;

/** A value of the job; undefined: a group of names has none of its own. */
function plainValueOf(data: Data, lists: Map<Value, readonly Data[]>, depth: number): Value | undefined {
  if (!Array.isArray(data)) return singleValueOf(data);
  if (depth > DEEPEST) return undefined;
  const items = data.map((item) => elementOf(item, lists, depth + 1));
  const list: Value = { type: 'list', length: exact(data.length), items };
  lists.set(list, data);
  return list;
}

/** A number, text or flag of the job; undefined: it is none, or no number that can be written. */
export function singleValueOf(data: Data): Value | undefined {
  switch (typeof data) {
    case 'number':
      return Number.isFinite(data) ? { type: 'number', lo: data, hi: data } : undefined;
    case 'string':
      return { type: 'text', any: [data] };
    case 'boolean':
      return { type: 'flag', is: data };
    default:
      return undefined;
  }
}

function elementOf(data: Data, lists: Map<Value, readonly Data[]>, depth: number): ReadonlyMap<string, Value> {
  const own = new Map<string, Value>();
  const value = plainValueOf(data, lists, depth);
  if (value) own.set('.', value);
  if (isGroup(data) && depth <= DEEPEST)
    for (const [name, inner] of Object.entries(data)) {
      const one = plainValueOf(inner, lists, depth + 1);
      if (one) own.set(name, one);
    }
  return own;
}

/** The text that an expression gives; null where nobody can say, and `around` what for. */
export function outputOf(expr: Expr, around: Unsettled, rules: Rules): string | null {
  const value = evaluate(expr, around.env);
  if (value.type === 'unknown' && value.nothing) return '';
  if (value.type === 'number' && value.lo === value.hi) return numberText(value.lo, expr, around, rules);
  return written(value, rules, (rule) => around.asks.add(rule));
}

/** A number, with a point where the language writes whole numbers that are no integers with one. */
function numberText(n: number, expr: Expr, { asks }: Unsettled, { wholeAs }: Rules): string | null {
  const text = plainNumber(n);
  if (!Number.isInteger(n) || wholeAs === '3' || !hasPoint(expr)) return text;
  if (wholeAs === '3.0') return `${text}.0`;
  asks.add('wholeAs');
  return null;
}

/** Whether a language that tells whole numbers from others takes this for one of the others: a division, or 3.0. */
function hasPoint(expr: Expr): boolean {
  switch (expr.type) {
    case 'number':
      return expr.point === true;
    case 'choice':
      return hasPoint(expr.yes) || hasPoint(expr.no);
    case 'binary':
      return expr.op === '/' ? expr.rules?.wholeDivision !== true || sides(expr) : sides(expr);
    case 'call':
      return expr.name === 'round' || (expr.name !== 'length' && expr.args.some(hasPoint));
    case 'index':
    case 'foreign':
      return false;
    default:
      return childrenOf(expr).some(hasPoint);
  }
}
const sides = ({ left, right }: Extract<Expr, { type: 'binary' }>): boolean => hasPoint(left) || hasPoint(right);

/** What each rule decides, and what may be written for it. */
const RULES: Readonly<Record<UnstatedRule, { readonly says: string; readonly values: string }>> = {
  zeroHolds: { says: 'whether 0 counts as true', values: 'true or false' },
  emptyTextHolds: { says: 'whether an empty text counts as true', values: 'true or false' },
  emptyListHolds: { says: 'whether an empty list counts as true', values: 'true or false' },
  zeroTextHolds: { says: 'whether the text 0 counts as true', values: 'true or false' },
  wholeDivision: { says: 'whether 7 / 2 is 3', values: 'true or false' },
  wholePart: { says: 'what -7 / 2 is in whole numbers', values: '"down" (-4) or "toward 0" (-3)' },
  rounding: { says: 'where a half is rounded to', values: '"up", "to even" or "away from 0"' },
  remainder: { says: 'which sign -7 % 3 has', values: '"as the left side" or "as the right side"' },
  power: {
    says: 'whether -2 ^ 2 is -4 or 4, and 2 ^ 3 ^ 2 is 512 or 64',
    values: '"before a sign", "after a sign" or "left to right"',
  },
  andOr: { says: 'how “a or b and c” belongs together', values: '"and first", "left to right" or "right to left"' },
  notIsLast: { says: 'whether “not a == b” negates the comparison or a alone', values: 'true or false' },
  missing: { says: 'what a name without a value gives', values: '"nothing", "stop" or "the tag"' },
  setInLoopHolds: { says: 'whether a name that is set in a loop keeps its value below', values: 'true or false' },
  bareList: { says: 'what a list gives that is written out', values: '"first", or ["[", ", ", "]"]' },
  flagsWritten: { says: 'how true and false are written out', values: '["true", "false"]' },
  wholeAs: { says: 'whether a whole number out of a division is written 3 or 3.0', values: '"3" or "3.0"' },
  textPlusNumber: { says: 'what “5” + 1 gives where one is a text', values: '"joined" or "sum"' },
  firstIndex: { says: 'whether the first element of a list has the index 0 or 1', values: '0 or 1' },
  caseMatters: { says: 'whether names in another case are other names', values: 'true or false' },
};

/** Where a rule stands in the vocabulary file. */
export const propertyOf = (rule: UnstatedRule): string =>
  rule === 'firstIndex'
    ? 'expressions.firstIndex'
    : rule === 'caseMatters'
      ? 'expressions.names.caseMatters'
      : `rules.${rule}`;

/** Why an expression gives nothing that is certain. */
export function why(
  expr: Expr,
  { asks, missing }: Unsettled,
  source: string,
  rules: Rules | null,
): Omit<FillProblem, 'span'> {
  const [rule] = asks;
  const [name] = missing;
  if (rule !== undefined && name === undefined) return askedFor(source, rule);
  if (name !== undefined) {
    if (rules?.missing === null) {
      const { message, property } = askedFor(source, 'missing');
      return {
        kind: 'missing',
        name,
        ...(property === undefined ? {} : { property }),
        message: `“${name}” has no value in this job. ${message}`,
      };
    }
    return { kind: 'missing', name, message: missingText(name) };
  }
  const unknown = foreignIn(expr);
  const message = unknown
    ? `What “${unknown}” gives is not known, so nothing can be filled in here. Say in the vocabulary, under expressions.functions, which function it stands for.`
    : `“${source}” has no value in this job: it divides by zero, or combines values of different kinds.`;
  return { kind: 'value', message };
}

function askedFor(source: string, rule: UnstatedRule | LanguageRule): Omit<FillProblem, 'span'> {
  const { says, values } = RULES[rule];
  const property = propertyOf(rule);
  const message = `What “${source}” gives depends on ${says}, which the vocabulary does not state. Add ${property}: ${values}.`;
  return { kind: 'rule', property, message };
}

function foreignIn(expr: Expr): string | null {
  if (expr.type === 'foreign') return expr.written;
  for (const part of childrenOf(expr)) {
    const found = foreignIn(part);
    if (found !== null) return found;
  }
  return null;
}

import type { Span } from '../text/span.ts';
import { type BinaryOp, childrenOf, type Expr, FUNCTIONS } from './expr.ts';
import {
  afterScaling,
  COUNT,
  isPlain,
  PLAIN,
  sameUnit,
  senseless,
  times,
  type Unit,
  unitOfName,
  unitPhrase,
} from './units.ts';
import type { Name } from './vocabulary.ts';

/** What kind of value an expression has, and of a number what it is measured in. */
export type Type =
  | {
      readonly type: 'number';
      /** null: fits any unit, as a number that is written out does. */
      readonly unit: Unit | null;
      /** Whether a number without a unit was multiplied in, which may have had one that nobody wrote. */
      readonly scaled?: boolean;
    }
  | { readonly type: 'text' }
  | { readonly type: 'flag' }
  | { readonly type: 'list' }
  | { readonly type: 'unknown' };

/** What makes no sense in an expression, and where. */
export interface TypeProblem {
  readonly span: Span;
  /** What and why, and what to do: whole sentences. */
  readonly message: string;
}

/** What a name means where the expression stands; undefined: there is no such name. */
export type FindName = (name: string) => Name | undefined;

/** The kind of an expression's value, and everything in it that makes no sense. Pure and total. */
export function checkTypes(expr: Expr, find: FindName): { type: Type; problems: readonly TypeProblem[] } {
  const problems: TypeProblem[] = [];
  const type = typeOf(expr, find, (span, message) =>
    problems.push({ span, message: message.charAt(0).toUpperCase() + message.slice(1) }),
  );
  return { type, problems };
}

/** "a temperature", "a text", "true or false". */
export function typePhrase(type: Type): string {
  switch (type.type) {
    case 'number':
      return type.unit ? unitPhrase(type.unit) : 'a number';
    case 'text':
      return 'a text';
    case 'flag':
      return 'true or false';
    case 'list':
      return 'a list';
    default:
      return 'something unknown';
  }
}

type Tell = (span: Span, message: string) => void;

/** What a name was set to is told where it was set. */
const SILENT: Tell = () => {};

const UNKNOWN: Type = { type: 'unknown' };
const ANY_NUMBER: NumberType = { type: 'number', unit: null };
const FLAG: Type = { type: 'flag' };
const TEXT: Type = { type: 'text' };

function typeOf(expr: Expr, find: FindName, tell: Tell): Type {
  switch (expr.type) {
    case 'number':
      return ANY_NUMBER;
    case 'text':
      return TEXT;
    case 'flag':
      return FLAG;
    case 'name':
      return expr.means ? typeOf(expr.means, find, SILENT) : typeOfName(find(expr.name));
    case 'unary': {
      const arg = typeOf(expr.arg, find, tell);
      if (expr.op === '!') return FLAG;
      return asNumber(expr.arg, arg, `“${expr.op}”`, tell) ?? ANY_NUMBER;
    }
    case 'choice': {
      typeOf(expr.test, find, tell);
      const [yes, no] = [typeOf(expr.yes, find, tell), typeOf(expr.no, find, tell)];
      if (clash(yes, no))
        tell(
          expr.span,
          `Depending on the condition this is ${said(expr.yes, yes)} or ${said(expr.no, no)}. Let both be of one kind.`,
        );
      return joined(yes, no);
    }
    case 'nothing':
      return UNKNOWN;
    case 'list':
    case 'range':
      for (const part of childrenOf(expr)) typeOf(part, find, tell);
      return { type: 'list' };
    case 'format':
      // Digits in whatever form are what a machine reads as this number.
      return asNumber(expr.arg, typeOf(expr.arg, find, tell), 'a form for digits', tell) ?? ANY_NUMBER;
    case 'index':
      return indexed(expr, find, tell);
    case 'unclear':
      for (const part of expr.parts) typeOf(part, find, tell);
      return expr.rule === 'power' ? ANY_NUMBER : expr.rule === 'notIsLast' && expr.ops.length > 0 ? FLAG : UNKNOWN;
    case 'foreign':
      for (const part of expr.args) typeOf(part, find, tell);
      return expr.gives?.is === 'number' ? ANY_NUMBER : (expr.gives && { type: expr.gives.is }) || UNKNOWN;
    case 'call': {
      if (!(expr.name in FUNCTIONS)) return lent(expr, find, tell);
      const needer = `“${expr.name}”`;
      const args = expr.args.map((arg) => asNumber(arg, typeOf(arg, find, tell), needer, tell) ?? ANY_NUMBER);
      let all: Type = args[0] ?? ANY_NUMBER;
      for (const [i, type] of args.entries()) {
        const arg = expr.args[i];
        if (arg && clash(all, type))
          tell(arg.span, `${needer} compares ${typePhrase(all)} with ${said(arg, type)}. Let all be of one kind.`);
        all = joined(all, type);
      }
      return all;
    }
    case 'binary': {
      const left = typeOf(expr.left, find, tell);
      const right = typeOf(expr.right, find, tell);
      return binary(expr, left, right, tell);
    }
  }
}

function typeOfName(name: Name | undefined): Type {
  if (!name || name.hidden) return UNKNOWN;
  if (name.kind === 'text' || name.kind === 'flag' || name.kind === 'list') return { type: name.kind };
  return { type: 'number', unit: unitOfName(name) };
}

/** An element of a list: what its name says of each. */
function indexed(expr: Extract<Expr, { type: 'index' }>, find: FindName, tell: Tell): Type {
  typeOf(expr.list, find, tell);
  typeOf(expr.index, find, tell);
  const list = expr.list.type === 'name' && !expr.list.means ? find(expr.list.name) : undefined;
  return typeOfName(list?.items?.find(({ name }) => name === (expr.own ?? '.')));
}

/** What functions of other languages give besides numbers. */
function lent(expr: Extract<Expr, { type: 'call' }>, find: FindName, tell: Tell): Type {
  for (const arg of expr.args) typeOf(arg, find, tell);
  switch (expr.name) {
    case 'length':
      return { type: 'number', unit: COUNT };
    case 'trunc':
      return ANY_NUMBER;
    case 'first':
    case 'last':
      return UNKNOWN;
    default:
      return TEXT;
  }
}

type Binary = Extract<Expr, { type: 'binary' }>;

const VERBS: Partial<Record<BinaryOp, string>> = {
  '+': 'plus',
  '-': 'minus',
  '*': 'times',
  '/': 'divided by',
  '//': 'divided by',
  '**': 'to the power of',
  '%': 'modulo',
};

function binary(expr: Binary, left: Type, right: Type, tell: Tell): Type {
  const { op } = expr;
  // Of a number in front of && only 0 is left over, which fits anywhere.
  if (op === '&&' && left.type === 'number') return right;
  if (op === '&&' || op === '||' || op === '??') return joined(left, right);
  if (op === '~') return TEXT;
  if (op === '=~') return FLAG;
  const verb = VERBS[op];
  if (!verb) return comparison(expr, left, right, tell);
  if (expr.rules && op === '+' && (left.type === 'text' || right.type === 'text'))
    return expr.rules.textPlusNumber === 'joined' ? TEXT : UNKNOWN;
  if (op === '+' && (left.type === 'text' || right.type === 'text')) {
    for (const [part, type] of [[expr.left, left] as const, [expr.right, right] as const])
      if (type.type === 'list') asNumber(part, type, '“+”', tell);
    return TEXT;
  }
  const a = asNumber(expr.left, left, `“${op}”`, tell);
  const b = asNumber(expr.right, right, `“${op}”`, tell);
  // An operand that is not known may be a text as well.
  if (op === '+' && (left.type === 'unknown' || right.type === 'unknown')) return UNKNOWN;
  if (!a || !b) return ANY_NUMBER;
  if (op === '**') return ANY_NUMBER;
  if (op === '*' || op === '/' || op === '//') return product(expr, a, b, tell);
  if (op === '%' && b.unit && isPlain(b.unit)) return a;
  if (!clash(a, b)) return joined(a, b);
  tell(
    expr.span,
    `${said(expr.left, a)} ${verb} ${said(expr.right, b)} means nothing. Combine numbers of one kind, or leave one of them out.`,
  );
  return ANY_NUMBER;
}

type NumberType = Extract<Type, { type: 'number' }>;

/** A factor that only makes a number larger or smaller. What lies beyond may turn it into something else: 60 s a min. */
const SCALES = { lo: 0.2, hi: 5 };

function product(expr: Binary, a: NumberType, b: NumberType, tell: Tell): NumberType {
  const sign = expr.op === '*' ? 1 : -1;
  if (!a.unit && !b.unit) return ANY_NUMBER;
  if (!a.unit || !b.unit) {
    const [bare, unit] = a.unit ? [expr.right, a.unit] : [expr.left, b.unit];
    // One over a length is no length.
    if (!scales(bare) || (sign < 0 && !a.unit)) return ANY_NUMBER;
    return { type: 'number', unit: afterScaling(unit), scaled: true };
  }
  if (senseless(a.unit, b.unit, sign)) {
    tell(
      expr.span,
      `${said(expr.left, a)} ${VERBS[expr.op]} ${said(expr.right, b)} means nothing. Let one of them be a plain number.`,
    );
    return ANY_NUMBER;
  }
  const unit = times(a.unit, b.unit, sign);
  const scaled = a.scaled || b.scaled;
  return scaled ? { type: 'number', unit: afterScaling(unit), scaled } : { type: 'number', unit };
}

function scales(factor: Expr): boolean {
  if (factor.type === 'unary' && factor.op !== '!') return scales(factor.arg);
  return factor.type === 'number' && factor.value >= SCALES.lo && factor.value <= SCALES.hi;
}

function comparison(expr: Binary, left: Type, right: Type, tell: Tell): Type {
  const equality = expr.op.includes('=') && expr.op !== '<=' && expr.op !== '>=';
  const [a, b] = [said(expr.left, left), said(expr.right, right)];
  if (left.type === 'unknown' || right.type === 'unknown') return FLAG;
  if (left.type === 'list' || right.type === 'list') {
    const [list, type] = left.type === 'list' ? [expr.left, left] : [expr.right, right];
    asNumber(list, type, `“${expr.op}”`, tell);
  } else if (left.type !== right.type) {
    const text = left.type === 'text' || right.type === 'text';
    tell(
      expr.span,
      `${a} is compared with ${b}, which says nothing. ${text ? 'Compare a text with a text in quotes ("PLA"), and a number with a number.' : 'Compare a number with a number; a condition needs no comparison.'}`,
    );
  } else if (left.type === 'flag' && !equality) {
    tell(expr.span, `“${expr.op}” compares numbers and texts, and both sides are true or false. Use && || ! or ==.`);
  } else if (clash(left, right)) {
    tell(expr.span, `${a} is compared with ${b}, which says nothing. Compare numbers of one kind.`);
  }
  return FLAG;
}

/** The number type that something is, or null, and a problem, where it is none. Unknown may be any number. */
function asNumber(expr: Expr, type: Type, needer: string, tell: Tell): NumberType | null {
  if (type.type === 'number') return type;
  if (type.type === 'unknown') return null;
  const what = said(expr, type);
  const fix =
    type.type === 'list'
      ? 'A section over the list runs once for each of its elements.'
      : type.type === 'flag'
        ? 'Say which number is meant: condition ? 1 : 0.'
        : expr.type === 'text'
          ? 'Write numbers without quotes.'
          : 'Put in a name that is a number.';
  tell(expr.span, `${what} stands where ${needer} takes numbers, so no value comes out. ${fix}`);
  return null;
}

/** Whether two numbers are measured in different things. */
const clash = (a: Type, b: Type): boolean =>
  a.type === 'number' && b.type === 'number' && a.unit !== null && b.unit !== null && !sameUnit(a.unit, b.unit);

/** The type of a value that is either of two, of one kind. */
function joined(a: Type, b: Type): Type {
  if (a.type !== b.type) return UNKNOWN;
  if (a.type !== 'number' || b.type !== 'number') return a;
  if (clash(a, b)) return ANY_NUMBER;
  const unit =
    a.unit && b.unit && isPlain(a.unit) ? (a.unit.count && b.unit.count ? COUNT : PLAIN) : (a.unit ?? b.unit);
  const scaled = a.scaled || b.scaled;
  return scaled ? { type: 'number', unit, scaled } : { type: 'number', unit };
}

/** "a temperature (heat.bed.first)". */
function said(expr: Expr, type: Type): string {
  const phrase = typePhrase(type);
  if (expr.type === 'name') return `${phrase} (${expr.name})`;
  return phrase;
}

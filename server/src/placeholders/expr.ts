import type { Span } from '../text/span.ts';
import type { Bounds } from './bounds.ts';
import type { Rules } from './rules.ts';

/** What every part of an expression has. */
interface Part {
  /** Offsets into the whole text. */
  readonly span: Span;
  /** What the language leaves unsaid; absent in our own language, whose rules are those of ECMA-262. */
  readonly rules?: Rules;
}

/** A placeholder expression, whatever language it was written in. */
export type Expr = Part &
  (
    | {
        readonly type: 'number';
        readonly value: number;
        /** Written with a point, so that some languages write it out with one. */
        readonly point?: true;
      }
    | { readonly type: 'text'; readonly value: string }
    | { readonly type: 'flag'; readonly value: boolean }
    /** The word for "no value". */
    | { readonly type: 'nothing' }
    | {
        readonly type: 'name';
        readonly name: string;
        /** What it was set to further up in the text, where it was. */
        readonly means?: Expr;
      }
    | { readonly type: 'unary'; readonly op: UnaryOp; readonly arg: Expr }
    | {
        readonly type: 'binary';
        readonly op: BinaryOp;
        readonly left: Expr;
        readonly right: Expr;
        /** Of `??`: also where the left is an empty text, an empty list or false. */
        readonly empty?: true;
      }
    | {
        readonly type: 'choice';
        readonly test: Expr;
        readonly yes: Expr;
        readonly no: Expr;
        /** Two ways of a text that met: either was worked out further up. */
        readonly met?: true;
      }
    /** `fn`: where the function's name stands. */
    | { readonly type: 'call'; readonly name: AnyFunction; readonly args: readonly Expr[]; readonly fn?: Span }
    /** An element of a list, or its own name `own` (`tips[1].size`). */
    | {
        readonly type: 'index';
        readonly list: Expr;
        readonly index: Expr;
        readonly own: string | null;
        readonly first: 0 | 1 | null;
      }
    /** A number written out with so many digits behind the point; `whole`: cut off, as `%d` does. */
    | { readonly type: 'format'; readonly arg: Expr; readonly digits: number; readonly whole?: true }
    | { readonly type: 'list'; readonly items: readonly Expr[] }
    /** Whole numbers from one to another, both included. */
    | { readonly type: 'range'; readonly from: Expr; readonly to: Expr }
    /** What may be read in more than one way: `rules` does not say in which. */
    | {
        readonly type: 'unclear';
        readonly rule: 'andOr' | 'notIsLast' | 'power';
        readonly parts: readonly Expr[];
        readonly ops: readonly BinaryOp[];
        readonly sign?: true;
      }
    /** What Bookend cannot follow; its value is not known beyond its kind. */
    | {
        readonly type: 'foreign';
        readonly written: string;
        readonly gives: Gives | null;
        readonly args: readonly Expr[];
        /** Where the name of the function stands, where it is one. */
        readonly fn?: Span;
      }
  );

/** What is known of a value that nobody can work out. */
export interface Gives {
  readonly is: 'number' | 'text' | 'flag';
  readonly range?: Bounds | null;
}

export type UnaryOp = '-' | '+' | '!';
export type BinaryOp =
  | '+'
  | '-'
  | '*'
  | '/'
  | '%'
  | '<'
  | '<='
  | '>'
  | '>='
  | '=='
  | '!='
  | '==='
  | '!=='
  | '&&'
  | '||'
  /** Division to a whole number. */
  | '//'
  | '**'
  /** Texts put together. */
  | '~'
  /** A text matches a pattern. */
  | '=~'
  /** The right side where the left is missing. */
  | '??';
export type FunctionName = 'min' | 'max' | 'abs' | 'round' | 'floor' | 'ceil';

/** What a function of another language can stand for besides our own. */
export type LentFunction =
  | 'trunc'
  | 'fixed'
  | 'default'
  | 'filled'
  | 'length'
  | 'first'
  | 'last'
  | 'join'
  | 'upper'
  | 'lower';
export type AnyFunction = FunctionName | LentFunction;

interface FunctionFacts {
  readonly signature: string;
  readonly does: string;
  readonly least: number;
  readonly most: number;
}

/** The functions that an expression may call, with what completion shows of them. */
export const FUNCTIONS: Readonly<Record<FunctionName, FunctionFacts>> = {
  min: { signature: 'min(a, b, …)', does: 'The smallest of its arguments.', least: 1, most: Number.POSITIVE_INFINITY },
  max: { signature: 'max(a, b, …)', does: 'The largest of its arguments.', least: 1, most: Number.POSITIVE_INFINITY },
  abs: { signature: 'abs(a)', does: 'The argument without its sign.', least: 1, most: 1 },
  round: { signature: 'round(a)', does: 'The nearest whole number; halves go up.', least: 1, most: 1 },
  floor: { signature: 'floor(a)', does: 'The largest whole number that is not above the argument.', least: 1, most: 1 },
  ceil: { signature: 'ceil(a)', does: 'The smallest whole number that is not below the argument.', least: 1, most: 1 },
};

/** What functions of other languages may stand for besides `FUNCTIONS`; round, floor and ceil take digits there as well. */
export const LENT: Readonly<Record<LentFunction, FunctionFacts>> = {
  trunc: { signature: 'trunc(a)', does: 'The argument without what stands behind the point.', least: 1, most: 1 },
  fixed: {
    signature: 'fixed(a, n)',
    does: 'The argument written out with n digits behind the point.',
    least: 1,
    most: 2,
  },
  default: { signature: 'default(a, b)', does: 'a, or b where a is missing.', least: 2, most: 3 },
  filled: {
    signature: 'filled(a, b)',
    does: 'a, or b where a is missing, an empty text or list, or false.',
    least: 2,
    most: 2,
  },
  length: { signature: 'length(a)', does: 'How many elements a list has, or characters a text.', least: 1, most: 1 },
  first: { signature: 'first(a)', does: 'The first element of a list.', least: 1, most: 1 },
  last: { signature: 'last(a)', does: 'The last element of a list.', least: 1, most: 1 },
  join: { signature: 'join(a, t)', does: 'The elements of a list as a text, with t between them.', least: 1, most: 2 },
  upper: { signature: 'upper(a)', does: 'A text in capitals.', least: 1, most: 1 },
  lower: { signature: 'lower(a)', does: 'A text in small letters.', least: 1, most: 1 },
};

/** The expressions that an expression is made of, in the order of the text where the language has them so. */
export function childrenOf(expr: Expr): readonly Expr[] {
  switch (expr.type) {
    case 'unary':
    case 'format':
      return [expr.arg];
    case 'binary':
      return [expr.left, expr.right];
    case 'choice':
      return [expr.test, expr.yes, expr.no];
    case 'call':
    case 'foreign':
      return expr.args;
    case 'index':
      return [expr.list, expr.index];
    case 'list':
      return expr.items;
    case 'range':
      return [expr.from, expr.to];
    case 'unclear':
      return expr.parts;
    default:
      return [];
  }
}

/** The same expression with other parts, given in the order of `childrenOf`; itself where they are the same. */
export function withChildren(expr: Expr, parts: readonly Expr[]): Expr {
  const before = childrenOf(expr);
  if (before.every((part, i) => part === parts[i])) return expr;
  const [a = expr, b = expr, c = expr] = parts;
  switch (expr.type) {
    case 'unary':
    case 'format':
      return { ...expr, arg: a };
    case 'binary':
      return { ...expr, left: a, right: b };
    case 'choice':
      return { ...expr, test: a, yes: b, no: c };
    case 'call':
    case 'foreign':
      return { ...expr, args: parts };
    case 'index':
      return { ...expr, list: a, index: b };
    case 'list':
      return { ...expr, items: parts };
    case 'range':
      return { ...expr, from: a, to: b };
    case 'unclear':
      return { ...expr, parts };
    default:
      return expr;
  }
}

/** Every name that an expression reads, with its span. */
export function namesIn(expr: Expr): { readonly name: string; readonly span: Span }[] {
  const names: { readonly name: string; readonly span: Span }[] = [];
  collect(expr, names);
  return names;
}

function collect(expr: Expr, names: { readonly name: string; readonly span: Span }[]): void {
  switch (expr.type) {
    case 'name':
      names.push({ name: expr.name, span: expr.span });
      return;
    case 'number':
    case 'text':
      return;
    case 'binary':
      // By far the most have no other parts than these.
      collect(expr.left, names);
      collect(expr.right, names);
      return;
    case 'call':
      for (const arg of expr.args) collect(arg, names);
      return;
    default:
      for (const part of childrenOf(expr)) collect(part, names);
  }
}

import { type Expression as AcornExpression, type AnyNode, parseExpressionAt } from 'acorn';
import type { Span } from '../text/span.ts';

/** A placeholder expression: a small subset of ECMA-262 expressions (clause 13). Spans are offsets into the whole text. */
export type Expr =
  | { readonly type: 'number'; readonly span: Span; readonly value: number }
  | { readonly type: 'text'; readonly span: Span; readonly value: string }
  | { readonly type: 'flag'; readonly span: Span; readonly value: boolean }
  | { readonly type: 'name'; readonly span: Span; readonly name: string }
  | { readonly type: 'unary'; readonly span: Span; readonly op: UnaryOp; readonly arg: Expr }
  | { readonly type: 'binary'; readonly span: Span; readonly op: BinaryOp; readonly left: Expr; readonly right: Expr }
  | { readonly type: 'choice'; readonly span: Span; readonly test: Expr; readonly yes: Expr; readonly no: Expr }
  | { readonly type: 'call'; readonly span: Span; readonly name: FunctionName; readonly args: readonly Expr[] };

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
  | '||';
export type FunctionName = 'min' | 'max' | 'abs' | 'round' | 'floor' | 'ceil';

/** The functions that an expression may call, with what completion shows of them. */
export const FUNCTIONS: Readonly<
  Record<
    FunctionName,
    { readonly signature: string; readonly does: string; readonly least: number; readonly most: number }
  >
> = {
  min: { signature: 'min(a, b, …)', does: 'The smallest of its arguments.', least: 1, most: Number.POSITIVE_INFINITY },
  max: { signature: 'max(a, b, …)', does: 'The largest of its arguments.', least: 1, most: Number.POSITIVE_INFINITY },
  abs: { signature: 'abs(a)', does: 'The argument without its sign.', least: 1, most: 1 },
  round: { signature: 'round(a)', does: 'The nearest whole number; halves go up.', least: 1, most: 1 },
  floor: { signature: 'floor(a)', does: 'The largest whole number that is not above the argument.', least: 1, most: 1 },
  ceil: { signature: 'ceil(a)', does: 'The smallest whole number that is not below the argument.', least: 1, most: 1 },
};

/** What could not be read as an expression, and where. */
export interface ExpressionProblem {
  readonly span: Span;
  readonly message: string;
}

export interface ParsedExpression {
  readonly expr: Expr | null;
  readonly problem: ExpressionProblem | null;
}

const LONGEST = 4000;
const DEEPEST = 100;
const UNARY: ReadonlySet<string> = new Set(['-', '+', '!']);
const BINARY: ReadonlySet<string> = new Set([
  '+',
  '-',
  '*',
  '/',
  '%',
  '<',
  '<=',
  '>',
  '>=',
  '==',
  '!=',
  '===',
  '!==',
  '&&',
  '||',
]);

/** Thrown and caught within this file only: leaves a deep conversion with the place and the reason. */
class Outside extends Error {
  readonly span: Span;
  constructor(span: Span, message: string) {
    super(message);
    this.span = span;
  }
}

/**
 * Reads `source`, which stands at offset `at` of the text, as an expression of the subset. Never throws.
 * An empty source is a problem; `.` alone is the current element of a list (Mustache's implicit iterator).
 */
export function parseExpression(source: string, at: number): ParsedExpression {
  const whole = { start: at, end: at + source.length };
  const fail = (span: Span, message: string): ParsedExpression => ({ expr: null, problem: { span, message } });
  if (source.trim() === '')
    return fail(whole, 'The tag is empty. Put a placeholder name or an expression between the delimiters.');
  if (source === '.') return { expr: { type: 'name', span: whole, name: '.' }, problem: null };
  if (source.length > LONGEST)
    return fail(
      whole,
      `The expression is ${source.length} characters long; ${LONGEST} is the most that is read. Split it into smaller ones.`,
    );
  const depth = deepest(source);
  if (depth > DEEPEST)
    return fail(
      whole,
      `The expression is nested ${depth} deep; ${DEEPEST} is the most that is read. Split it into smaller ones.`,
    );
  try {
    const node = parseExpressionAt(source, 0, { ecmaVersion: 2022, preserveParens: true });
    const rest = source.slice(node.end).search(/\S/);
    if (rest >= 0) {
      const from = at + node.end + rest;
      return fail(
        { start: from, end: whole.end },
        `“${source.slice(node.end + rest)}” follows a complete expression. Remove it, or put an operator in between.`,
      );
    }
    return { expr: convert(node, at), problem: null };
  } catch (error) {
    if (error instanceof Outside) return fail(error.span, error.message);
    if (error instanceof SyntaxError) {
      const pos = (error as SyntaxError & { pos?: number }).pos ?? 0;
      const found = source[pos];
      const start = at + Math.min(pos, Math.max(0, source.length - 1));
      return fail(
        { start, end: Math.min(start + 1, whole.end) },
        found === undefined
          ? 'The expression ends too early: a value or a closing bracket is missing.'
          : `The expression cannot be read from “${source.slice(pos, pos + 12)}” on. Allowed are numbers, names, + - * / %, comparisons, && || !, ?: and ${Object.keys(FUNCTIONS).join(' ')}.`,
      );
    }
    return fail(whole, 'The expression is nested too deeply to be read. Split it into smaller ones.');
  }
}

/** How deep brackets, signs and chains nest, so that no recursion goes deeper than is wise. */
function deepest(source: string): number {
  let open = 0;
  let most = 0;
  let run = 0;
  for (const char of source) {
    if (char === '(' || char === '[' || char === '?') open++;
    else if (char === ')' || char === ']') open--;
    run = char === '!' || char === '-' || char === '+' ? run + 1 : char === ' ' ? run : 0;
    most = Math.max(most, open + run);
  }
  return most;
}

function convert(node: AcornExpression | AnyNode, at: number): Expr {
  const span = { start: at + node.start, end: at + node.end };
  switch (node.type) {
    case 'Literal':
      if (typeof node.value === 'number') return { type: 'number', span, value: node.value };
      if (typeof node.value === 'string') return { type: 'text', span, value: node.value };
      if (typeof node.value === 'boolean') return { type: 'flag', span, value: node.value };
      throw new Outside(
        span,
        `“${node.raw ?? ''}” is no number, text, true or false. Only those can be written as values.`,
      );
    case 'Identifier':
    case 'MemberExpression':
      return { type: 'name', span, name: dotted(node, at) };
    case 'UnaryExpression':
      if (!UNARY.has(node.operator)) throw notAllowed(span, node.operator);
      return { type: 'unary', span, op: node.operator as UnaryOp, arg: convert(node.argument, at) };
    case 'BinaryExpression':
    case 'LogicalExpression':
      if (!BINARY.has(node.operator)) throw notAllowed(span, node.operator);
      return {
        type: 'binary',
        span,
        op: node.operator as BinaryOp,
        left: convert(node.left, at),
        right: convert(node.right, at),
      };
    case 'ConditionalExpression':
      return {
        type: 'choice',
        span,
        test: convert(node.test, at),
        yes: convert(node.consequent, at),
        no: convert(node.alternate, at),
      };
    case 'CallExpression':
      return call(node, span, at);
    case 'ParenthesizedExpression':
      return convert(node.expression, at);
    default:
      throw new Outside(
        span,
        `This form of expression (${describe(node.type)}) is not allowed in a tag; nothing is ever run from it. Allowed are numbers, names, + - * / %, comparisons, && || !, ?: and ${Object.keys(FUNCTIONS).join(' ')}.`,
      );
  }
}

const describe = (type: string): string => type.replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase();
const notAllowed = (span: Span, operator: string): Outside =>
  new Outside(
    span,
    `The operator “${operator}” is not allowed in a tag. Use + - * / %, < <= > >= == !=, && || ! or ?:.`,
  );

function call(node: Extract<AnyNode, { type: 'CallExpression' }>, span: Span, at: number): Expr {
  const callee = node.callee;
  const name = callee.type === 'Identifier' ? callee.name : '';
  if (!Object.hasOwn(FUNCTIONS, name)) {
    const where = { start: at + callee.start, end: at + callee.end };
    throw new Outside(
      where,
      `There is no function “${name || 'of this form'}”. The functions are ${Object.keys(FUNCTIONS).join(', ')}.`,
    );
  }
  const fn = FUNCTIONS[name as FunctionName];
  const given = node.arguments.length;
  if (given < fn.least || given > fn.most) {
    throw new Outside(
      span,
      `${name} is given ${given} argument${given === 1 ? '' : 's'}; it is written ${fn.signature}.`,
    );
  }
  return { type: 'call', span, name: name as FunctionName, args: node.arguments.map((arg) => convert(arg, at)) };
}

/** `a.b.c` as one dotted name. */
function dotted(node: AnyNode, at: number): string {
  const parts: string[] = [];
  let rest: AnyNode = node;
  while (rest.type === 'MemberExpression') {
    if (rest.computed || rest.optional || rest.property.type !== 'Identifier') {
      throw new Outside(
        { start: at + rest.start, end: at + rest.end },
        'Only dotted names (heat.bed.first) are allowed, no [ ] and no ?. behind a name.',
      );
    }
    parts.unshift(rest.property.name);
    rest = rest.object;
  }
  if (rest.type !== 'Identifier') {
    throw new Outside(
      { start: at + node.start, end: at + node.end },
      'A dot may only join the parts of a placeholder name.',
    );
  }
  return [rest.name, ...parts].join('.');
}

/** Every name that an expression reads, with its span. */
export function namesIn(expr: Expr): { readonly name: string; readonly span: Span }[] {
  switch (expr.type) {
    case 'name':
      return [{ name: expr.name, span: expr.span }];
    case 'unary':
      return namesIn(expr.arg);
    case 'binary':
      return [...namesIn(expr.left), ...namesIn(expr.right)];
    case 'choice':
      return [...namesIn(expr.test), ...namesIn(expr.yes), ...namesIn(expr.no)];
    case 'call':
      return expr.args.flatMap(namesIn);
    default:
      return [];
  }
}

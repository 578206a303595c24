import { fail, readRegular, readToken, type Token } from './ecmaTokens.ts';

// Expressions of ECMA-262 (clause 13, as in a script that is not strict), as trees that have the names and places of
// ESTree. Objects, functions, classes, templates, `new` and targets of several parts are told by name and not read.

/** Offsets into the source; the end is behind the last character. */
interface Place {
  readonly start: number;
  readonly end: number;
}

export type EcmaNode = Place &
  (
    | { readonly type: 'Literal'; readonly value: number | string | boolean | null; readonly raw: string }
    | { readonly type: 'Identifier'; readonly name: string }
    | {
        readonly type: 'MemberExpression';
        readonly object: EcmaNode;
        readonly property: EcmaNode;
        readonly computed: boolean;
        readonly optional: boolean;
      }
    | {
        readonly type: 'CallExpression';
        readonly callee: EcmaNode;
        readonly arguments: readonly EcmaNode[];
        readonly optional: boolean;
      }
    | {
        readonly type: 'UnaryExpression' | 'UpdateExpression';
        readonly operator: string;
        readonly argument: EcmaNode;
      }
    | {
        readonly type: 'BinaryExpression' | 'LogicalExpression' | 'AssignmentExpression';
        readonly operator: string;
        readonly left: EcmaNode;
        readonly right: EcmaNode;
      }
    | {
        readonly type: 'ConditionalExpression';
        readonly test: EcmaNode;
        readonly consequent: EcmaNode;
        readonly alternate: EcmaNode;
      }
    | { readonly type: 'ParenthesizedExpression' | 'ChainExpression'; readonly expression: EcmaNode }
    | { readonly type: 'SequenceExpression'; readonly expressions: readonly EcmaNode[] }
    | { readonly type: 'SpreadElement'; readonly argument: EcmaNode }
    | { readonly type: 'ArrayExpression'; readonly elements: readonly (EcmaNode | null)[] }
    | { readonly type: 'ThisExpression' }
  );

/** Where reading stands: before `token`, behind `end`. */
interface Reader {
  readonly source: string;
  token: Token;
  end: number;
}

/** The expression that a source begins with; what follows it is for the caller to judge. Throws `NotRead`. */
export const readExpression = (source: string): EcmaNode => sequence({ source, token: readToken(source, 0), end: 0 });

/** Goes behind the token, and gives it. */
function next(r: Reader): Token {
  const { token } = r;
  r.token = readToken(r.source, token.end);
  r.end = token.end;
  return token;
}

const signOf = ({ kind, value }: Token): string => (kind === 'sign' ? String(value) : '');
const at = (r: Reader, sign: string): boolean => signOf(r.token) === sign;

/** Whether the sign stood there; it is then behind. */
function eat(r: Reader, sign: string): boolean {
  if (!at(r, sign)) return false;
  next(r);
  return true;
}

function expect(r: Reader, sign: string): void {
  if (!eat(r, sign)) fail(r.token.start);
}

/** 13.16: a, b */
function sequence(r: Reader): EcmaNode {
  const first = assignment(r);
  if (!at(r, ',')) return first;
  const expressions = [first];
  while (eat(r, ',')) expressions.push(assignment(r));
  return { type: 'SequenceExpression', start: first.start, end: r.end, expressions };
}

const ASSIGNING = /^(?:[-+*/%&|^]|\*\*|<<|>>>?|&&|\|\||\?\?)?=$/;

/** 13.15: a = b */
function assignment(r: Reader): EcmaNode {
  const left = choice(r);
  const operator = signOf(r.token);
  if (operator === '=>' && !r.token.newLine && isArrowHead(left)) fail(left.start, 'ArrowFunctionExpression');
  if (!ASSIGNING.test(operator)) return left;
  if (operator === '=' && left.type === 'ArrayExpression') fail(left.start, 'AssignmentExpression');
  mustBeTarget(left);
  next(r);
  const right = assignment(r);
  return { type: 'AssignmentExpression', operator, left, right, start: left.start, end: r.end };
}

const isArrowHead = ({ type }: EcmaNode): boolean => type === 'Identifier' || type === 'ParenthesizedExpression';

/** Only names and what hangs on them can be given a value. */
function mustBeTarget(node: EcmaNode): void {
  if (node.type === 'ParenthesizedExpression') mustBeTarget(node.expression);
  else if (node.type !== 'Identifier' && node.type !== 'MemberExpression') fail(node.start);
}

/** 13.14: a ? b : c */
function choice(r: Reader): EcmaNode {
  const test = binary(r, 0);
  if (!eat(r, '?')) return test;
  const consequent = assignment(r);
  expect(r, ':');
  const alternate = assignment(r);
  return { type: 'ConditionalExpression', test, consequent, alternate, start: test.start, end: r.end };
}

/** 13.6 to 13.13: from what binds loosely to what binds closely. */
const RANKS: readonly (readonly string[])[] = [
  [],
  ['??', '||'],
  ['&&'],
  ['|'],
  ['^'],
  ['&'],
  ['==', '!=', '===', '!=='],
  ['<', '>', '<=', '>=', 'in', 'instanceof'],
  ['<<', '>>', '>>>'],
  ['+', '-'],
  ['*', '/', '%'],
];
const RANK: ReadonlyMap<string, number> = new Map(
  RANKS.flatMap((row, rank) => row.map((sign) => [sign, rank] as const)),
);
const LOGICAL: ReadonlySet<string> = new Set(['??', '||', '&&']);

/** Operations that bind more closely than `least`; those of one rank from the left. */
function binary(r: Reader, least: number): EcmaNode {
  let left = unary(r);
  for (;;) {
    const operator = signOf(r.token);
    const rank = RANK.get(operator) ?? 0;
    if (rank <= least) return left;
    next(r);
    const isLogical = LOGICAL.has(operator);
    const right = binary(r, operator === '??' ? 2 : rank);
    const type = isLogical ? 'LogicalExpression' : 'BinaryExpression';
    left = { type, operator, left, right, start: left.start, end: r.end };
    // 13.13: ?? goes with neither || nor && without brackets.
    if (isLogical && LOGICAL.has(signOf(r.token)) && (operator === '??') !== at(r, '??')) fail(r.token.start);
  }
}

const PREFIX: ReadonlySet<string> = new Set(['!', '~', '+', '-', 'typeof', 'void', 'delete', '++', '--']);
const isCount = (sign: string): boolean => sign === '++' || sign === '--';

/** 13.4 to 13.6: signs before it, ++ and -- behind it, and ** between. */
function unary(r: Reader, signed = false, counted = false): EcmaNode {
  const { start } = r.token;
  const operator = signOf(r.token);
  let node: EcmaNode;
  let hasSign = signed;
  if (PREFIX.has(operator)) {
    next(r);
    const argument = unary(r, true, isCount(operator));
    if (isCount(operator)) mustBeTarget(argument);
    else hasSign = true;
    const type = isCount(operator) ? 'UpdateExpression' : 'UnaryExpression';
    node = { type, operator, argument, start, end: r.end };
  } else node = counting(r);
  if (counted || !at(r, '**')) return node;
  const power = next(r);
  // 13.6: -a ** b may be read in two ways, so it is not read at all.
  if (hasSign) fail(power.start);
  const right = unary(r);
  return { type: 'BinaryExpression', operator: '**', left: node, right, start, end: r.end };
}

/** 13.4: a++ */
function counting(r: Reader): EcmaNode {
  let node = linked(r);
  while (isCount(signOf(r.token)) && !r.token.newLine) {
    mustBeTarget(node);
    const operator = signOf(next(r));
    node = { type: 'UpdateExpression', operator, argument: node, start: node.start, end: r.end };
  }
  return node;
}

/** 13.3: a.b, a[b], a(b), each with or without ?. */
function linked(r: Reader): EcmaNode {
  let node = single(r);
  const { start } = node;
  let chained = false;
  for (;;) {
    const optional = eat(r, '?.');
    chained ||= optional;
    if (eat(r, '[')) {
      const property = sequence(r);
      expect(r, ']');
      node = { type: 'MemberExpression', object: node, property, computed: true, optional, start, end: r.end };
    } else if (eat(r, '(')) {
      const given = values(r, ')').filter((one) => one !== null);
      node = { type: 'CallExpression', callee: node, arguments: given, optional, start, end: r.end };
    } else if (at(r, '`')) fail(chained ? r.token.start : start, chained ? null : 'TaggedTemplateExpression');
    else if (optional || eat(r, '.')) {
      const property = propertyName(r);
      node = { type: 'MemberExpression', object: node, property, computed: false, optional, start, end: r.end };
    } else return chained ? { type: 'ChainExpression', expression: node, start, end: r.end } : node;
  }
}

/** Reserved words may be names here. */
function propertyName(r: Reader): EcmaNode {
  if (r.token.kind !== 'name' && !/^[a-z]/.test(signOf(r.token))) fail(r.token.start);
  const { start, end, value } = next(r);
  return { type: 'Identifier', name: String(value), start, end };
}

/** What a call is given or a list holds, up to the closing bracket; null where a list leaves something out. */
function values(r: Reader, closing: ')' | ']'): (EcmaNode | null)[] {
  const all: (EcmaNode | null)[] = [];
  while (!eat(r, closing)) {
    if (all.length > 0) {
      expect(r, ',');
      if (eat(r, closing)) break;
    }
    all.push(closing === ']' && at(r, ',') ? null : value(r));
  }
  return all;
}

function value(r: Reader): EcmaNode {
  const { start } = r.token;
  if (!eat(r, '...')) return assignment(r);
  const argument = assignment(r);
  return { type: 'SpreadElement', argument, start, end: r.end };
}

/** Expressions that are told by what they begin with. */
const FORMS: ReadonlyMap<string, string> = new Map([
  ['function', 'FunctionExpression'],
  ['class', 'ClassExpression'],
  ['new', 'NewExpression'],
  ['`', 'TemplateLiteral'],
  ['{', 'ObjectExpression'],
]);

/** 13.2: what no operator belongs to. */
function single(r: Reader): EcmaNode {
  const { start, end, kind, value } = r.token;
  const raw = r.source.slice(start, end);
  if (kind === 'end') fail(start);
  if (kind === 'sign') return signed(r, String(value));
  next(r);
  if (kind === 'name') return { type: 'Identifier', name: raw, start, end };
  return { type: 'Literal', value, raw, start, end };
}

function signed(r: Reader, sign: string): EcmaNode {
  const { start, end } = r.token;
  switch (sign) {
    case '(':
      return bracketed(r);
    case '[':
      return list(r);
    case '/':
    case '/=':
      return regular(r);
    case 'this':
      next(r);
      return { type: 'ThisExpression', start, end };
    case 'null':
    case 'true':
    case 'false':
      next(r);
      return { type: 'Literal', value: sign === 'null' ? null : sign === 'true', raw: sign, start, end };
    case 'import':
      next(r);
      return at(r, '(') ? fail(start, 'ImportExpression') : fail(at(r, '.') ? start : r.token.start);
    default:
      return fail(start, FORMS.get(sign) ?? null);
  }
}

function bracketed(r: Reader): EcmaNode {
  const { start } = next(r);
  const { start: closing } = r.token;
  if (eat(r, ')')) return at(r, '=>') ? fail(start, 'ArrowFunctionExpression') : fail(closing);
  const expression = sequence(r);
  expect(r, ')');
  return { type: 'ParenthesizedExpression', expression, start, end: r.end };
}

function list(r: Reader): EcmaNode {
  const { start } = next(r);
  const elements = values(r, ']');
  return { type: 'ArrayExpression', elements, start, end: r.end };
}

/** It is not looked into. */
function regular(r: Reader): EcmaNode {
  const { start } = r.token;
  const raw = readRegular(r.source, start);
  if (raw === null) return fail(start);
  r.end = start + raw.length;
  r.token = readToken(r.source, r.end);
  return { type: 'Literal', value: null, raw, start, end: r.end };
}

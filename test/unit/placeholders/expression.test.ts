import { type AnyNode, parseExpressionAt } from 'acorn';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluate, plainValue } from '../../../server/src/placeholders/evaluate.ts';
import { type Expr, FUNCTIONS, namesIn, parseExpression } from '../../../server/src/placeholders/expression.ts';
import { CASES, row } from '../../reference/support.ts';
import { randomOf } from '../analyze/random.ts';

const parsed = (source: string): Expr => {
  const { expr, problem } = parseExpression(source, 0);
  if (!expr) throw new Error(`${source}: ${problem?.message}`);
  return expr;
};

describe('values, against NISTIR 6556', () => {
  const rows = CASES.filter((c) => c.input.expression !== undefined);
  it('has its rows', () => expect(rows.map((r) => r.id)).toEqual(['nist-expr-precedence', 'nist-c2-expr']));
  it.each(rows.map((r) => [r.id, r] as const))('%s', (_, r) => {
    const value = evaluate(parsed(r.input.expression), () => undefined);
    expect(value.type).toBe('number');
    if (value.type !== 'number') return;
    expect(Math.abs(value.lo - r.expect.value)).toBeLessThanOrEqual(r.tolerance);
    expect(value.hi).toBe(value.lo);
  });
});

describe('what acorn leaves to its caller (the acorn rows of the reference cases; ECMA-262 clause 13)', () => {
  it('acorn-stops-at-brace: what stands in a tag is read up to its end and no further', () => {
    const { source, offset } = row('acorn-stops-at-brace').input;
    const inner = source.slice(offset, source.indexOf('}}'));
    expect(parsed(inner.trim())).toMatchObject({ type: 'binary', op: '+', right: { type: 'binary', op: '*' } });
    expect(parseExpression(source.slice(offset), offset).expr).toBeNull();
  });

  it('acorn-trailing-not-rejected: a rest is a problem, and its span is the rest', () => {
    const { source } = row('acorn-trailing-not-rejected').input;
    const { expr, problem } = parseExpression(source, 100);
    expect(expr).toBeNull();
    expect(problem?.span).toEqual({ start: 106, end: 107 });
  });

  it('acorn-assignment-accepted: an assignment is refused', () => {
    const { source } = row('acorn-assignment-accepted').input;
    expect(parseExpression(source, 0).expr).toBeNull();
    expect(parseExpression('x = 1', 0).problem?.message).toContain('assignment');
  });

  it('acorn-syntax-error: an expression that ends too early', () => {
    const { expr, problem } = parseExpression(row('acorn-syntax-error').input.source, 0);
    expect(expr).toBeNull();
    expect(problem?.message).toContain('ends too early');
  });
});

/** Every operation in brackets, from acorn's own tree. */
function bracketsOfAcorn(node: AnyNode): string {
  switch (node.type) {
    case 'BinaryExpression':
    case 'LogicalExpression':
      return `(${bracketsOfAcorn(node.left as AnyNode)} ${node.operator} ${bracketsOfAcorn(node.right)})`;
    case 'UnaryExpression':
      return `(${node.operator} ${bracketsOfAcorn(node.argument)})`;
    case 'ConditionalExpression':
      return `(${bracketsOfAcorn(node.test)} ? ${bracketsOfAcorn(node.consequent)} : ${bracketsOfAcorn(node.alternate)})`;
    case 'CallExpression':
      return `${bracketsOfAcorn(node.callee as AnyNode)}(${node.arguments.map((a) => bracketsOfAcorn(a)).join(', ')})`;
    case 'MemberExpression':
      return `${bracketsOfAcorn(node.object as AnyNode)}.${bracketsOfAcorn(node.property as AnyNode)}`;
    case 'Identifier':
      return node.name;
    case 'Literal':
      return JSON.stringify(node.value);
    default:
      throw new Error(node.type);
  }
}

function bracketsOf(expr: Expr): string {
  switch (expr.type) {
    case 'binary':
      return `(${bracketsOf(expr.left)} ${expr.op} ${bracketsOf(expr.right)})`;
    case 'unary':
      return `(${expr.op} ${bracketsOf(expr.arg)})`;
    case 'choice':
      return `(${bracketsOf(expr.test)} ? ${bracketsOf(expr.yes)} : ${bracketsOf(expr.no)})`;
    case 'call':
      return `${expr.name}(${expr.args.map(bracketsOf).join(', ')})`;
    case 'name':
      return expr.name;
    default:
      return JSON.stringify('value' in expr ? expr.value : null);
  }
}

/** Random expressions over numbers, without brackets where it may, so that precedence decides. */
function source(next: ReturnType<typeof randomOf>, depth: number): string {
  const again = (): string => source(next, depth - 1);
  const what = depth <= 0 ? next.next() * 0.3 : next.next();
  if (what < 0.15) return String(next.decimal(0, 9, 1));
  if (what < 0.3) return next.pick(['a', 'b.c', 'd.e.f']);
  if (what < 0.75)
    return `${again()} ${next.pick(['+', '-', '*', '/', '%', '<', '<=', '>', '>=', '==', '!=', '===', '!==', '&&', '||'])} ${again()}`;
  if (what < 0.8) return `${next.pick(['-', '+', '!'])} ${again()}`;
  if (what < 0.86) return `(${again()})`;
  if (what < 0.93) return `${again()} ? ${again()} : ${again()}`;
  return `${next.pick(['min', 'max'])}(${again()}, ${again()})`;
}

/** ECMA-262's own operators on acorn's tree: what a value should be where all names are exact numbers. */
function ownValue(node: AnyNode, names: Record<string, number>): unknown {
  const of = (n: AnyNode): unknown => ownValue(n, names);
  switch (node.type) {
    case 'Literal':
      return node.value;
    case 'Identifier':
    case 'MemberExpression':
      return names[bracketsOfAcorn(node)];
    case 'UnaryExpression': {
      const value = of(node.argument);
      return node.operator === '!' ? !value : node.operator === '-' ? -(value as number) : value;
    }
    case 'LogicalExpression': {
      const left = of(node.left);
      return (node.operator === '&&') === Boolean(left) ? of(node.right) : left;
    }
    case 'ConditionalExpression':
      return of(node.test) ? of(node.consequent) : of(node.alternate);
    case 'CallExpression': {
      const args = node.arguments.map((a) => of(a) as number);
      return bracketsOfAcorn(node.callee as AnyNode) === 'min' ? Math.min(...args) : Math.max(...args);
    }
    case 'BinaryExpression': {
      const [a, b] = [of(node.left as AnyNode) as number, of(node.right) as number];
      const { operator } = node;
      if (operator === '+') return a + b;
      if (operator === '-') return a - b;
      if (operator === '*') return a * b;
      if (operator === '/') return a / b;
      if (operator === '%') return a % b;
      if (operator === '<') return a < b;
      if (operator === '<=') return a <= b;
      if (operator === '>') return a > b;
      if (operator === '>=') return a >= b;
      if (operator === '==' || operator === '===') return a === b;
      return a !== b;
    }
    default:
      throw new Error(node.type);
  }
}

describe('precedence and values, against acorn’s own tree', () => {
  it('every operation binds as in ECMA-262', () => {
    for (let seed = 1; seed <= 600; seed++) {
      const text = source(randomOf(seed), 4);
      expect(bracketsOf(parsed(text)), text).toBe(bracketsOfAcorn(parseExpressionAt(text, 0, { ecmaVersion: 2022 })));
    }
  });

  it('values are those of ECMA-262', () => {
    const names = { a: 3, 'b.c': -2.5, 'd.e.f': 0 };
    let compared = 0;
    for (let seed = 1; seed <= 3000; seed++) {
      const text = source(randomOf(seed), 3);
      const wanted = ownValue(parseExpressionAt(text, 0, { ecmaVersion: 2022 }), names);
      const value = evaluate(parsed(text), (name) => plainValue(names[name as 'a']));
      // Truth values in sums, and division by zero, have no number here: they are unknown, never wrong.
      if (value.type === 'number') {
        if (value.lo === value.hi) compared++;
        expect(value.lo <= Number(wanted) && Number(wanted) <= value.hi, `${text}: ${wanted}`).toBe(true);
      } else if (value.type === 'flag' && value.is !== null) {
        compared++;
        expect(value.is, text).toBe(wanted);
      }
    }
    expect(compared).toBeGreaterThan(2000);
  });
});

describe('the subset', () => {
  it.each([
    ...[
      'a = 1',
      'a += 1',
      'a++',
      '--a',
      'a, b',
      'typeof a',
      'void 0',
      'delete a.b',
      '~a',
      'a ** 2',
      'a | b',
      'a & b',
      'a ^ b',
    ],
    ...[
      'a << 1',
      'a ?? b',
      'a in b',
      'a instanceof b',
      'new a',
      'new a()',
      'this',
      'this.a',
      '() => 1',
      'function(){}',
      'class {}',
    ],
    ...[
      '`a`',
      '[1]',
      '({})',
      'null',
      '/a/',
      '1n',
      'a[0]',
      'a?.b',
      'a?.()',
      'a.b()',
      'min.max(1)',
      'alert(1)',
      'min()',
      'max()',
    ],
    ...[
      'abs(1, 2)',
      'abs()',
      'round(1, 2)',
      'min(...a)',
      'import("x")',
      'import.meta',
      'await a',
      'yield a',
      'super.a',
    ],
    ...[
      'constructor.constructor("x")()',
      'toString()',
      'hasOwnProperty("a")',
      '__proto__()',
      '',
      '  ',
      '+',
      '1 2',
      'a b',
      '(',
      ')',
      'a.',
      '.a',
    ],
    ...[
      '"a',
      'a ? b',
      '1..',
      '#a',
      '@',
      '\\',
      'a.#b',
      'x => x',
      'async () => 1',
      'min(a = 1)',
      '(a, b)',
      '((a)) = 1',
      '(1).a',
    ],
  ])('%s is refused, with its place', (text) => {
    const { expr, problem } = parseExpression(text, 50);
    expect(expr).toBeNull();
    expect(problem?.message).toMatch(/\.$/);
    expect(problem?.span.start).toBeGreaterThanOrEqual(50);
    expect(problem?.span.end).toBeLessThanOrEqual(50 + text.length);
    expect(problem?.span.end).toBeGreaterThanOrEqual(problem?.span.start ?? 0);
  });

  it.each([
    '.',
    'a',
    ' a.b ',
    '((1))',
    '1e3',
    '"x"',
    'true',
    '!a',
    '- -1',
    'min(1)',
    'max(1, 2, 3)',
    'a==="x"',
    '$a_1',
  ])('%s is read', (text) => {
    expect(parseExpression(text, 0).problem).toBeNull();
  });

  it('any text is read or refused, never both, and nothing is thrown', () => {
    const piece = fc.constantFrom(
      ...'()[]{}.,?:!+-*/%<>=&|"\'`\\ \n09eEnx'.split(''),
      'a',
      'min(',
      'new ',
      '=>',
      '\ud800',
      '\u2028',
    );
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'binary' }),
          fc.array(piece).map((p) => p.join('')),
        ),
        (text) => {
          const { expr, problem } = parseExpression(text, 7);
          expect(expr === null).not.toBe(problem === null);
          if (problem) expect(problem.span.end).toBeLessThanOrEqual(7 + text.length);
          if (expr) evaluate(expr, () => undefined);
        },
      ),
      { seed: 7, numRuns: 1500 },
    );
  });

  it('deep and long expressions are refused in plain words', () => {
    for (const text of ['('.repeat(3000), `${'-'.repeat(3000)}1`, `${'a ? '.repeat(900)}1`, '1+'.repeat(5000)]) {
      const { problem } = parseExpression(text, 0);
      expect(problem?.message).toMatch(/is the most that is read|too deeply|ends too early/);
    }
    expect(parseExpression(`1${' + 1'.repeat(900)}`, 0).problem).toBeNull();
  });

  it('spans are those of the whole text', () => {
    const expr = parseExpression('a.b + min(c, 2)', 1000).expr as Expr;
    expect(namesIn(expr)).toEqual([
      { name: 'a.b', span: { start: 1000, end: 1003 } },
      { name: 'c', span: { start: 1010, end: 1011 } },
    ]);
  });

  it('every function has a signature and counts its arguments', () => {
    for (const [name, { signature, least, most }] of Object.entries(FUNCTIONS)) {
      expect(signature.startsWith(`${name}(`)).toBe(true);
      const call = (n: number): string => `${name}(${Array.from({ length: n }, () => '1').join(', ')})`;
      expect(parseExpression(call(least), 0).problem).toBeNull();
      expect(parseExpression(call(least - 1), 0).expr).toBeNull();
      if (Number.isFinite(most)) expect(parseExpression(call(most + 1), 0).expr).toBeNull();
    }
  });
});

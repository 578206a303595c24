import { type AnyNode, parseExpressionAt } from 'acorn';
import { describe, expect, it } from 'vitest';
import { NotRead } from '../../../server/src/placeholders/ecmaTokens.ts';
import { type EcmaNode, readExpression } from '../../../server/src/placeholders/ecmaTree.ts';
import { randomOf } from '../analyze/random.ts';

// Trees and errors against acorn, an independent parser of ECMA-262: node by node, place by place.

type Tree = Readonly<Record<string, unknown>>;

const FACTS = ['name', 'raw', 'operator', 'computed', 'optional'];
const BELOW = [
  ...['object', 'property', 'callee', 'argument', 'left', 'right', 'test', 'consequent', 'alternate', 'expression'],
  ...['arguments', 'expressions', 'elements'],
];

/** A node with all that both parsers tell of it. */
function plain(node: AnyNode | EcmaNode): Tree {
  const given = node as unknown as Record<string, unknown>;
  const tree: Record<string, unknown> = { type: node.type, start: node.start, end: node.end };
  if (node.type === 'Literal') tree.value = isOurs(node.value) ? node.value : null;
  for (const name of FACTS) if (given[name] !== undefined) tree[name] = given[name];
  for (const name of BELOW) {
    const below = given[name] as AnyNode | readonly (AnyNode | null)[] | undefined;
    if (below) tree[name] = Array.isArray(below) ? below.map((one) => one && plain(one)) : plain(below as AnyNode);
  }
  return tree;
}

const isOurs = (value: unknown): boolean => ['number', 'string', 'boolean'].includes(typeof value);

type Outcome = { readonly tree: Tree } | { readonly pos: number; readonly form: string | null };

function ours(source: string): Outcome {
  try {
    return { tree: plain(readExpression(source)) };
  } catch (error) {
    if (!(error instanceof NotRead)) throw error;
    return { pos: error.pos, form: error.form };
  }
}

function theirs(source: string): Outcome {
  try {
    return { tree: plain(parseExpressionAt(source, 0, { ecmaVersion: 2022, preserveParens: true })) };
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return { pos: (error as SyntaxError & { readonly pos: number }).pos, form: null };
  }
}

/** Each row: sources that stand for one part of the grammar. */
const READ = [
  ['numbers', '0', '7', '1.', '.5', '1.50', '1e3', '1E-3', '1_000.5_0', '0x1F', '0XfF_0', '0b101', '0o17', '0O7'],
  ['old octal numbers', '010', '07', '00', '08', '08.5', '0778', '010.5'],
  ['large numbers', '1n', '0n', '10_0n', '0x1Fn', '0b1n'],
  ['texts', '""', "'a'", '"it\'s"', "'\\n\\t\\b\\v\\f\\r\\\\\\''", "'\\x41\\u0041\\u{1F600}\\u{41}'", '"\u2028"'],
  ['texts with old escapes', "'\\0'", "'\\101'", "'\\477'", "'\\8\\9'", "'\\a\\X\\U'", "'a\\\nb\\\r\nc\\\rd\\\u2028e'"],
  ['names', 'a', '$a_1', 'über', 'ключ', '\u{10400}', 'a\u200d', 'let', 'await', 'yield', 'async', 'of', 'undefined'],
  ['values', 'true', 'false', 'null', 'this'],
  ['members', 'a.b.c', 'a.if', 'a.true', 'a[0]', 'a["b"].c', 'a[b, c]', '(1).a', '1..a', '"t".length'],
  ['calls', 'f()', 'f(1)', 'f(1, a.b)', 'f(1,)', 'f(...a, b)', 'a.f(1).b', 'f()()', 'f(a = 1)'],
  ['chains', 'a?.b', 'a?.b.c', 'a?.[0]', 'a?.()', '(a?.b).c', 'a?.5:1', 'a ?.b'],
  ['signs', '-a', '+ a', '!a', '~a', '- -1', '!!a', '-+-a', 'typeof a', 'void 0', 'delete a.b', '!a.b(c)'],
  ['counting', 'a++', '--a', 'a.b--', '-a++', '++(a)', 'a++ + ++b', 'a\n++\nb'],
  ['powers', 'a ** b', 'a ** b ** c', '(-a) ** b', 'a ** -b', '++a ** b', 'a++ ** b', 'a * b ** c * d'],
  ['sums', '1 + 2 * 3 - 4 / 5 % 6', 'a - b - c', 'a / b / c', 'a + +b', 'a - -b', 'a+-b'],
  ['comparisons', 'a < b == c > d', 'a <= b != c >= d', 'a === b !== c', 'a in b', 'a instanceof b', 'a < b < c'],
  ['bits', 'a | b ^ c & d', 'a << 1 >> 2 >>> 3', 'a & b == c'],
  ['truth', 'a && b || c && d', 'a || b || c', '!a && !b', 'a ?? b ?? c', '(a ?? b) || c', 'a ?? (b && c)'],
  ['choices', 'a ? b : c', 'a ? b : c ? d : e', 'a ? b ? 1 : 2 : 3', 'a ? b = 1 : c', 'a || b ? c : d'],
  ['brackets', '(a)', '((a))', '( (a + b) * c )', '(a, b)', '(a).b'],
  [
    'assignments',
    'a = 1',
    'a = b = c',
    'a.b += 1',
    'a[0] **= 2',
    '(a) = 1',
    'a &&= b',
    'a ??= b',
    'a >>>= 1',
    'a ||= b',
  ],
  ['sequences', 'a, b', 'a = 1, b', 'a ? b : c, d'],
  ['lists', '[]', '[1, a]', '[,]', '[1,,2,]', '[...a]', '[[1], [2]]', '[a][0]'],
  ['regular expressions', '/a/', '/a/g', '/[/]/', '/\\//u', '1 + /=a/.b', 'a / b / c', '(a) / b /c'],
  ['blanks and comments', ' a ', '\ta\u00a0+\ufeffb', 'a /* c */ + b', 'a // c\n + b', '/* c */ a', 'a\r\n+\u2029b'],
  ['a rest', 'a b', '1 2', 'a)', 'a }} b', 'a "t"', 'a /* c */', 'a; b', 'a\n=> 1', '1 + a => a', '1.2.3', '0b12'],
] as const;

/** What acorn reads and we name only. */
const NAMED = [
  ['function(){}', 'FunctionExpression', 0],
  ['1 + function f(a) { return a }', 'FunctionExpression', 4],
  ['class {}', 'ClassExpression', 0],
  ['new a', 'NewExpression', 0],
  ['-new a.b(1)', 'NewExpression', 1],
  ['`a`', 'TemplateLiteral', 0],
  ['a + `b`', 'TemplateLiteral', 4],
  ['a.b`c`', 'TaggedTemplateExpression', 0],
  ['({})', 'ObjectExpression', 1],
  ['min({ a: 1 }, 2)', 'ObjectExpression', 4],
  ['() => 1', 'ArrowFunctionExpression', 0],
  ['x => x', 'ArrowFunctionExpression', 0],
  ['f((a, b) => a)', 'ArrowFunctionExpression', 2],
  ['import("x")', 'ImportExpression', 0],
  ['[a] = b', 'AssignmentExpression', 0],
] as const;

/** Refused by both, at the same place. */
const REFUSED = [
  [
    'nothing, or its end is missing',
    '',
    ' ',
    '+',
    'a +',
    '(',
    '(a',
    'f(',
    'f(a,',
    'a ? b',
    'a ? b :',
    'a.',
    'a[',
    '[a',
  ],
  [
    'signs at the wrong place',
    ')',
    '*a',
    'a + * b',
    '()',
    '(a,)',
    'f(,)',
    'a ? : b',
    'a..b',
    '.a',

    '(...a)',
    ']',
  ],
  ['numbers', '1a', '1_', '1.5n', '0x', '0xg', '0b2', '1e', '1e+', '08n', '1e5x', '010n', '3in', '.5_'],
  ['texts', '"a', "'a\nb'", '"\\', "'\\x4'", "'\\u004'", "'\\u{}'", "'\\u{110000}'", '"a\\"'],
  ['reserved words', 'if', 'var a', 'a + while', 'super.a', 'import.meta', 'import a', 'a = default', 'enum'],
  ['powers and ??', '-a ** b', '!a ** b', 'typeof a ** b', 'a ?? b || c', 'a && b ?? c', 'a ?? b && c'],
  [
    'no targets',
    '1 = 2',
    'a + b = c',
    '(a + b) = c',
    'a() = 1',
    '++1',
    '-a++ ++',
    'a?.b = 1',
    '1++',
    'this = 1',
    '-a = 1',
  ],
  ['characters', '@', 'a @', '#a', 'a.#b', '\ud800', '/* a', 'a /* b', '\0'],
] as const;

describe('against acorn', () => {
  it.each(READ.map(([what, ...sources]) => [what, sources]))('%s: the same tree', (_, sources) => {
    for (const source of sources) {
      const wanted = theirs(source);
      expect('tree' in wanted, source).toBe(true);
      expect(ours(source), source).toEqual(wanted);
    }
  });

  it.each(NAMED)('%s: %s, told by its name', (source, form, pos) => {
    expect(ours(source)).toEqual({ pos, form });
    expect(JSON.stringify(parseExpressionAt(source, 0, { ecmaVersion: 2022 }))).toContain(
      `"type":"${form}","start":${pos},`,
    );
  });

  it.each(REFUSED.map(([what, ...sources]) => [what, sources]))('%s: refused at the same place', (_, sources) => {
    for (const source of sources) {
      const wanted = theirs(source);
      expect('tree' in wanted, source).toBe(false);
      expect(ours(source), source).toEqual(wanted);
    }
  });

  it('whatever stands in a row is read or refused as acorn does', () => {
    const counts = { trees: 0, named: 0, refused: 0 };
    for (let seed = 1; seed <= 20_000; seed++) {
      const next = randomOf(seed);
      const pieces = Array.from({ length: 1 + Math.floor(next.next() * 7) }, () => next.pick(PIECES));
      const source = pieces.join(next.next() < 0.5 ? ' ' : '');
      if (IS_KNOWN.test(source.replace(/\/\*c\*\/|\/\/c\n/g, ' '))) continue;
      const [own, wanted] = [ours(source), theirs(source)];
      if ('form' in own && own.form !== null) {
        // Told by its name: whether the rest of it is well formed is not looked at.
        counts.named++;
        continue;
      }
      counts['tree' in own ? 'trees' : 'refused']++;
      expect(own, source).toEqual(wanted);
    }
    expect(counts.trees).toBeGreaterThan(2500);
    expect(counts.refused).toBeGreaterThan(8000);
    expect(counts.named).toBeLessThan(2000);
  }, 30_000);
});

const PIECES = [
  ...['a', 'b.c', 'x', '1', '2.5', '.5', '"t"', '(', ')', '(', ')', ',', '?', ':', '+', '-', '*', '/', '%'],
  ...['<', '<=', '>', '>=', '==', '!=', '===', '!==', '&&', '||', '!', '??', '?.', '.', '=', '+=', '++', '--', '**'],
  ...['&', '|', '^', '~', '<<', '>>', '>>>', 'min(', 'typeof ', 'void ', 'delete ', ' in ', ' instanceof ', 'true'],
  ...['null', 'this', 'if', '1n', '010', '0x1F', '08.5', '1_0', "'\\n\\u0041\\x41\\101'", '[', ']', '"', '1e5', '\n'],
  ...['/*c*/', '//c\n', 'await', 'let', 'super', '@', '=>', '`', 'function', 'class', '{'],
] as const;

/**
 * Where the two differ, and we mean it: a slash where a value belongs (acorn reads a regular expression and checks it),
 * a name right behind 0x1Fn (12.3.1 forbids it, acorn does not), --> and <!-- (comments in HTML), ?. at the very end.
 */
const IS_KNOWN =
  /(^|[^\w"')\]\s]|\b(typeof|void|delete|in|instanceof|if|super|class|function))\s*\/|0x[\da-fA-F_]+n|-->|<!--|\?\.$/;

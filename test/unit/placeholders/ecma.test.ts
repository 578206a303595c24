import { type AnyNode, parseExpressionAt } from 'acorn';
import { describe, expect, it } from 'vitest';
import { evaluate, plainValue, render } from '../../../server/src/placeholders/evaluate.ts';
import { parseExpression } from '../../../server/src/placeholders/expression.ts';
import { type Random, randomOf } from '../analyze/random.ts';

// What an expression over exact values is, against ECMA-262's own operators: the interpreter below walks acorn's tree and
// leaves every operation to JavaScript. Bookend may say that it does not know; where it says something it must be that.

type Plain = number | string | boolean;

const NAMES: Readonly<Record<string, Plain>> = {
  n: 3,
  'n.low': -2.5,
  'n.zero': 0,
  t: 'PLA',
  't.digits': '12',
  't.empty': '',
  f: true,
  'f.no': false,
};

/** The value as JavaScript has it (ECMA-262 13.5 to 13.14, 21.3.2). */
function javascript(node: AnyNode): Plain {
  switch (node.type) {
    case 'Literal':
      return node.value as Plain;
    case 'Identifier':
    case 'MemberExpression':
      return NAMES[dotted(node)] as Plain;
    case 'UnaryExpression': {
      const arg = javascript(node.argument);
      return node.operator === '!' ? !arg : node.operator === '-' ? -arg : +arg;
    }
    case 'LogicalExpression': {
      const left = javascript(node.left);
      return node.operator === '&&' ? left && javascript(node.right) : left || javascript(node.right);
    }
    case 'ConditionalExpression':
      return javascript(node.test) ? javascript(node.consequent) : javascript(node.alternate);
    case 'CallExpression': {
      const args = node.arguments.map((arg) => Number(javascript(arg)));
      const name = dotted(node.callee as AnyNode) as 'min' | 'max' | 'abs' | 'round' | 'floor' | 'ceil';
      return (Math[name] as (...all: number[]) => number)(...args);
    }
    case 'BinaryExpression':
      return operate(node.operator, javascript(node.left as AnyNode), javascript(node.right));
    default:
      throw new Error(node.type);
  }
}

function operate(operator: string, left: Plain, right: Plain): Plain {
  // JavaScript turns one type into another by itself; TypeScript is told that these are numbers.
  const [a, b] = [left as number, right as number];
  switch (operator) {
    case '+':
      return a + b;
    case '-':
      return a - b;
    case '*':
      return a * b;
    case '/':
      return a / b;
    case '%':
      return a % b;
    case '<':
      return a < b;
    case '<=':
      return a <= b;
    case '>':
      return a > b;
    case '>=':
      return a >= b;
    case '==':
      // biome-ignore lint/suspicious/noDoubleEquals: what == does is what is compared
      return a == b;
    case '!=':
      // biome-ignore lint/suspicious/noDoubleEquals: what != does is what is compared
      return a != b;
    case '===':
      return a === b;
    case '!==':
      return a !== b;
    default:
      throw new Error(operator);
  }
}

const dotted = (node: AnyNode): string =>
  node.type === 'MemberExpression'
    ? `${dotted(node.object as AnyNode)}.${dotted(node.property as AnyNode)}`
    : (node as AnyNode & { name: string }).name;

function source(random: Random, depth: number): string {
  const again = (): string => source(random, depth - 1);
  const what = depth <= 0 ? random.next() * 0.4 : random.next();
  if (what < 0.12) return String(random.decimal(0, 9, 1));
  if (what < 0.18) return random.pick(['"PLA"', '"a"', '"B"', '""', '"12"', 'true', 'false']);
  if (what < 0.4) return random.pick(Object.keys(NAMES));
  if (what < 0.76)
    return `(${again()}) ${random.pick(['+', '-', '*', '/', '%', '<', '<=', '>', '>=', '==', '!=', '===', '!==', '&&', '||'])} (${again()})`;
  if (what < 0.82) return `${random.pick(['-', '+', '!'])}(${again()})`;
  if (what < 0.9) return `(${again()}) ? (${again()}) : (${again()})`;
  if (what < 0.95) return `${random.pick(['abs', 'round', 'floor', 'ceil'])}(${again()})`;
  return `${random.pick(['min', 'max'])}(${again()}, ${again()})`;
}

describe('texts, flags and numbers mixed, against ECMA-262', () => {
  it('whatever is said of a value is what JavaScript makes of it', () => {
    const compared = { number: 0, text: 0, flag: 0 };
    for (let seed = 1; seed <= 6000; seed++) {
      const text = source(randomOf(seed), 3);
      const { expr } = parseExpression(text, 0);
      if (!expr) throw new Error(text);
      const wanted = javascript(parseExpressionAt(text, 0, { ecmaVersion: 2022 }));
      const value = evaluate(expr, (name) => plainValue(NAMES[name] as Plain));
      switch (value.type) {
        case 'number':
          // A part that is not known (-"PLA") leaves a range.
          if (value.lo === value.hi) compared.number++;
          expect(typeof wanted, text).toBe('number');
          expect(value.lo <= Number(wanted) && Number(wanted) <= value.hi, `${text}: ${wanted}`).toBe(true);
          break;
        case 'flag':
          if (value.is === null) break;
          compared.flag++;
          expect(value.is, text).toBe(wanted);
          break;
        case 'text': {
          const filled = render(value);
          if (filled === null) break;
          compared.text++;
          expect(filled, text).toBe(wanted);
          break;
        }
        case 'list':
          throw new Error(`${text}: a list`);
        default:
      }
    }
    expect(compared.number).toBeGreaterThan(800);
    expect(compared.text).toBeGreaterThan(300);
    expect(compared.flag).toBeGreaterThan(800);
  });

  it.each([
    ['"a" < "b"', true],
    ['"b" <= "a"', false],
    ['"PLA" > "PET"', true],
    ['"10" < "9"', true],
    ['"a" < "a"', false],
    ['"" < "a"', true],
  ])('%s is %s: texts are in the order of their code units (ECMA-262 7.2.12)', (text, wanted) => {
    const { expr } = parseExpression(text, 0);
    expect(expr && evaluate(expr, () => undefined)).toEqual({ type: 'flag', is: wanted });
  });

  it.each(['5 == "5"', 'true == 1', '"" == 0', 'true != 1'])(
    '%s: == between types is left open, since it turns one into the other',
    (text) => {
      const { expr } = parseExpression(text, 0);
      expect(expr && evaluate(expr, () => undefined)).toEqual({ type: 'flag', is: null });
    },
  );
});

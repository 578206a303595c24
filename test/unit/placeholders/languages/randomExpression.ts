import { ofName } from '../../../../server/src/placeholders/bounds.ts';
import type { Grammar, Operation } from '../../../../server/src/placeholders/grammar.ts';
import type { Value } from '../../../../server/src/placeholders/value.ts';
import type { Random } from '../../analyze/random.ts';

const RANGED = { tall: [-4, 12], 'first bed': [0, 5], '2nd': [3, 3], width: [1, 9] } as const;
const TEXTS = { kind: ['pla', 'PLA', '', '0'] } as const;

export const NAMES: readonly string[] = [...Object.keys(RANGED), 'kind', 'on', 'tips'];

/** What each name can be. */
export const RANGES: ReadonlyMap<string, Value> = new Map<string, Value>([
  ...Object.entries(RANGED).map(([name, [lo, hi]]): [string, Value] => [
    name,
    { type: 'number', ...ofName({ name, range: { lo, hi } }) },
  ]),
  ['kind', { type: 'text', any: TEXTS.kind }],
  ['on', { type: 'flag', is: null }],
  [
    'tips',
    { type: 'list', length: { lo: 2, hi: 3 }, items: null, each: new Map([['.', { type: 'number', lo: 1, hi: 8 }]]) },
  ],
]);

const exactly = (n: number): Value => ({ type: 'number', lo: n, hi: n });

/** One value for each name, within its range. */
export function valuesOf(random: Random): ReadonlyMap<string, Value> {
  const length = random.pick([2, 3]);
  return new Map<string, Value>([
    ...Object.entries(RANGED).map(([name, [lo, hi]]): [string, Value] => [
      name,
      exactly(
        lo === hi
          ? lo
          : random.pick([
              lo,
              hi,
              Math.max(lo, 0),
              Math.round(lo + (hi - lo) * random.next()),
              random.decimal(lo, hi, 1),
            ]),
      ),
    ]),
    ['kind', { type: 'text', any: [random.pick(TEXTS.kind)] }],
    ['on', { type: 'flag', is: random.next() < 0.5 }],
    [
      'tips',
      {
        type: 'list',
        length: { lo: length, hi: length },
        items: Array.from({ length }, (_, i) => new Map([['.', exactly(i + 1)]])),
      },
    ],
  ]);
}

/** An expression that the grammar can write. Brackets stand only here and there, so that precedence decides. */
export function expressionOf(random: Random, grammar: Grammar, depth: number): string {
  const again = (): string => expressionOf(random, grammar, depth - 1);
  const of = (does: Operation): string => random.pick(grammar.operators.filter((one) => one.does === does)).written;
  const mark = grammar.names.marks[0] ?? '';
  const name = (one: string): string => (mark === '.' || mark === '$' ? `${mark}${one}` : one);
  const quote = grammar.quotes[0] as string;
  const what = depth <= 0 ? random.next() * 0.36 : random.next();
  if (what < 0.1) return random.pick(['0', '1', '2', '7', '2.5', '184.5']);
  if (what < 0.26) return name(random.pick(Object.keys(RANGED)));
  if (what < 0.29) return name(random.pick(['kind', 'on']));
  if (what < 0.32) return `${quote}${random.pick(['pla', 'x', '5'])}${quote}`;
  if (what < 0.34) return random.pick([grammar.words.true[0] as string, grammar.words.false[0] as string]);
  if (what < 0.36) return `${name('tips')}[${random.pick(['0', '1', '2'])}]`;
  if (what < 0.56)
    return `${again()} ${of(random.pick(['add', 'subtract', 'multiply', 'divide', 'remainder', 'wholeDivide'] as const))} ${again()}`;
  if (what < 0.66)
    return `(${again()}) ${of(random.pick(['less', 'atMost', 'more', 'atLeast', 'equal', 'notEqual'] as const))} (${again()})`;
  if (what < 0.78) return `${again()} ${of(random.pick(['and', 'or', 'and', 'or', 'otherwise'] as const))} ${again()}`;
  if (what < 0.83) return `${of('not')} ${again()}`;
  if (what < 0.87) return `-(${again()})`;
  if (what < 0.9) return `${random.pick(['2', name('width')])} ${of('power')} ${random.pick(['2', '3'])}`;
  if (what < 0.92) return `-${name('width')} ${of('power')} 2`;
  if (what < 0.96 && grammar.calls.some(({ is }) => is === 'brackets'))
    return `${random.pick(['smaller of', 'larger'])}(${again()}, ${again()})`;
  return `(${again()})`;
}

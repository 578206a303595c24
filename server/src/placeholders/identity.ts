/**
 * What a number is, told apart from every other: two numbers of one identity are the same in each job, bit for bit, as
 * they were worked out of the same names and numbers by the same operations. 0: nothing is known of what it is.
 * A hash of 53 bits: two numbers that differ have one identity once in 10^15. A number of which nobody can say how it
 * came about is `Own`.
 */
export type Id = number | Own;

/** An identity like no other: this very object. */
export class Own {}

/** The operations by which identities are told apart. */
export type Made = '+' | '-' | '*' | '/' | '%' | 'min' | 'max' | 'floor' | 'ceil' | 'round';

const SEEDS: Readonly<Record<Made, number>> = {
  '+': 11,
  '-': 23,
  '*': 37,
  '/': 41,
  '%': 53,
  min: 67,
  max: 79,
  floor: 83,
  ceil: 97,
  round: 101,
};

/** One round of mixing on 32 bits: a multiplication and a shift, as usual hashes have them. */
function stir(hash: number, word: number): number {
  const mixed = Math.imul(hash ^ word, 0x9e3779b1);
  return mixed ^ (mixed >>> 15);
}

const TWO_32 = 2 ** 32;

/** 53 bits of two lanes; never 0. */
const joined = (a: number, b: number): number => (a & 0x1fffff) * TWO_32 + (b >>> 0) || 1;

const high = (id: number): number => Math.floor(id / TWO_32) | 0;
const low = (id: number): number => id | 0;

/** The identity of what a name stands for. */
export function idOfName(name: string): Id {
  let [a, b] = [0x811c9dc5, 0x2545f491];
  for (let i = 0; i < name.length; i++) {
    const c = name.charCodeAt(i);
    a = stir(a, c);
    b = stir(b, c + 0x51ed);
  }
  return joined(stir(a, name.length), b);
}

const NUMBER = new Float64Array(1);
const WORDS = new Uint32Array(NUMBER.buffer);

/** The identity of a plain number. */
export function idOfNumber(n: number): Id {
  // Zero has two signs, which are one number.
  NUMBER[0] = n + 0;
  const [x = 0, y = 0] = WORDS;
  return joined(stir(stir(7, x), y), stir(stir(13, y), x));
}

/** The identity of what an operation makes of others; 0 where one of them has none, or one like no other. The order of a + b does not count. */
export function idOf(made: Made, a: Id, b: Id = 1): Id {
  if (a === 0 || b === 0 || typeof a !== 'number' || typeof b !== 'number') return 0;
  const swaps = made === '+' || made === '*' || made === 'min' || made === 'max';
  const [first, second] = swaps && b < a ? [b, a] : [a, b];
  const seed = SEEDS[made];
  return joined(
    stir(stir(stir(stir(seed, high(first)), low(first)), high(second)), low(second)),
    stir(stir(stir(stir(seed + 131, low(second)), low(first)), high(second)), high(first)),
  );
}

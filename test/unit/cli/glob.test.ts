import { spawnSync } from 'node:child_process';
import { expect, test } from 'vitest';
import { fitsPart, isPattern, withoutBraces } from '../../../server/src/cli/glob.ts';
import { countWork, grownBeyond } from '../../work/counting.ts';
import { randomOf } from '../analyze/random.ts';

test('a pattern is told from a name', () => {
  expect(['*.gcode', 'a?', '[ab]', '{a,b}'].map(isPattern)).toEqual([true, true, true, true]);
  expect(['a.gcode', '-', 'a (1).gcode', 'a]b'].map(isPattern)).toEqual([false, false, false, false]);
});

test.each([
  ['cold.start.gcode', '*.gcode', true],
  ['cold.start.gcode', '*.end.gcode', false],
  ['cold.start.gcode', 'cold*', true],
  ['.hidden.gcode', '*.gcode', false],
  ['.hidden.gcode', '.*.gcode', true],
  ['a[1].gcode', 'a[[]1].gcode', true],
  ['a].gcode', 'a[]].gcode', true],
  ['a[.gcode', 'a[.gcode', true],
  ['b', '[!a]', true],
  ['a', '[!a]', false],
  ['5', '[0-9]', true],
  ['', '*', true],
  ['', '?', false],
])('%s fits %s: %s', (name, pattern, fits) => {
  expect(fitsPart(name, pattern)).toBe(fits);
});

// The other side: POSIX.1-2017 XCU 2.13.1 and 2.13.2, as this machine's shell has them.
test.skipIf(spawnSync('sh', ['-c', 'true']).status !== 0)('random patterns fit as in the shell', () => {
  const random = randomOf(5);
  const pieces = ['a', 'b', 'c', '*', '?', '[ab]', '[!a]', '[a-c]', 'ab', '**'];
  const text = (from: readonly string[], most: number): string =>
    Array.from({ length: random.whole(1, most) }, () => random.pick(from)).join('');
  const cases = Array.from({ length: 2000 }, () => ({
    name: text(['a', 'b', 'c', 'd'], 7),
    pattern: text(pieces, 6),
  }));
  const script = cases.map(({ name, pattern }) => `case ${name} in ${pattern}) echo 1;; *) echo 0;; esac`).join('\n');
  const { stdout } = spawnSync('sh', [], { input: script, encoding: 'utf8' });
  const told = stdout.trim().split('\n');
  expect(told).toHaveLength(cases.length);
  expect(told.filter((one) => one === '1').length).toBeGreaterThan(200);
  cases.forEach(({ name, pattern }, i) => {
    expect(fitsPart(name, pattern), `${name} in ${pattern}`).toBe(told[i] === '1');
  });
});

test('braces stand for each of their parts', () => {
  expect(withoutBraces('a{b,c}d')).toEqual(['abd', 'acd']);
  expect(withoutBraces('{a,{b,c}}{1,2}').sort()).toEqual(['a1', 'a2', 'b1', 'b2', 'c1', 'c2']);
  expect(withoutBraces('a{b}c')).toEqual(['a{b}c']);
  expect(withoutBraces('a{,b}')).toEqual(['a', 'ab']);
});

test('neither stars nor braces take long', async () => {
  const fits = (letters: number, stars: number) => fitsPart('a'.repeat(letters), `${'*a'.repeat(stars)}b`);
  expect(fits(5000, 60)).toBe(false);
  expect(withoutBraces('{a,b}'.repeat(40)).length).toBeLessThanOrEqual(256);
  await countWork(() => fits(10, 3)); // what is made once
  const few = await countWork(() => fits(2000, 4));
  expect(grownBeyond(few, await countWork(() => fits(4000, 4)))).toEqual([]);
  expect(grownBeyond(few, await countWork(() => fits(2000, 8)))).toEqual([]);
});

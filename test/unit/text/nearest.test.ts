import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nearest, nearestCode, slipsBetween } from '../../../server/src/text/nearest.ts';

/** Plain recursion over the definition, as a second opinion (optimal string alignment). */
function plain(a: string, b: string): number {
  if (a === '' || b === '') return a.length + b.length;
  const [restA, restB] = [a.slice(0, -1), b.slice(0, -1)];
  const same = a.at(-1) === b.at(-1) ? 0 : 1;
  let least = Math.min(plain(restA, b) + 1, plain(a, restB) + 1, plain(restA, restB) + same);
  if (a.length > 1 && b.length > 1 && a.at(-1) === b.at(-2) && a.at(-2) === b.at(-1)) {
    least = Math.min(least, plain(a.slice(0, -2), b.slice(0, -2)) + 1);
  }
  return least;
}

describe('slipsBetween', () => {
  test.each([
    ['bed', 'bed', 0],
    ['bed', 'bad', 1],
    ['bed', 'bde', 1],
    ['bed', 'beds', 1],
    ['kitten', 'sitting', 3],
  ])('%s and %s: %i', (a, b, slips) => expect(slipsBetween(a, b, 10)).toBe(slips));

  test('agrees with the definition, and only cuts off what is above the limit', () => {
    const short = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 5 });
    fc.assert(
      fc.property(short, short, fc.integer({ min: 0, max: 6 }), (a, b, limit) => {
        const slips = plain(a, b);
        const found = slipsBetween(a, b, limit);
        expect(slips <= limit ? found === slips : found > limit).toBe(true);
      }),
      { seed: 1, numRuns: 500 },
    );
  });
});

describe('nearest', () => {
  const names = ['heat.nozzle.first', 'heat.nozzle.later', 'heat.bed.first', 'part.top', 'layer.top'];

  test.each([
    ['heat.nozle.first', ['heat.nozzle.first']],
    ['Heat.Nozzle.Later', ['heat.nozzle.later']],
    ['heta.nozzel.frist', ['heat.nozzle.first']],
    ['part.tpo', ['part.top']],
    // What stands between the parts is no letter.
    ['heat.nozzlefirst', ['heat.nozzle.first']],
    ['heat_nozle_first', ['heat.nozzle.first']],
    ['colour', []],
    ['', []],
  ])('%s', (word, expected) => expect(nearest(word, names)).toEqual(expected));

  test('at most as many as asked for, equally near ones in their order', () => {
    expect(nearest('ab', ['ax', 'xb', 'ac'])).toEqual(['ax', 'xb']);
    expect(nearest('ab', ['ax', 'xb', 'ac'], 3)).toEqual(['ax', 'xb', 'ac']);
    expect(nearest('ab', ['ax'], 0)).toEqual([]);
  });

  test.each([
    // Never another thing's heat, however long what the names have in common.
    ['heat.nozzle.first', ['heat.bed.first', 'heat.nozzle.later', 'heat.chamber.first']],
    ['heat.bed.first', ['heat.nozzle.first', 'layer.first']],
    // Nor another axis or side, another tool, or another word of the same family.
    ['home.x', ['home.y', 'home.z', 'home']],
    ['bed.centre.x', ['bed.centre.y', 'reach.centre.x']],
    ['reach.left', ['reach.right', 'bed.left', 'reach.front']],
    ['extruder1.heat', ['extruder2.heat', 'extruder10.heat', 'extruder.heat']],
    ['heat-left-on', ['fan-left-on', 'tool-left']],
    ['nozzleFirst', ['bedFirst', 'nozzleLater']],
  ])('%s is no slip for any of %j', (word, others) => expect(nearest(word, others, 9)).toEqual([]));

  test('parts as names of all kinds have them', () => {
    expect(nearest('minExtrud', ['minExtrude', 'maxExtrude'])).toEqual(['minExtrude']);
    expect(nearest('mostflw', ['mostFlow'])).toEqual(['mostFlow']);
    expect(nearest('of-bed', ['off-bed', 'in-keep-out'])).toEqual(['off-bed']);
    expect(nearest('tool2.nmae', ['tool1.name', 'tool2.name'])).toEqual(['tool2.name']);
    expect(nearest('größe.erste', ['größe.erst', 'breite.erste'])).toEqual(['größe.erst']);
  });

  test('what is made of the same words is near only where it has the same ones in the same order', () => {
    const part = fc.constantFrom('heat', 'bed', 'nozzle', 'first', 'later', 'x', 'y', 'top', '1', '2', 'reach', 'left');
    const name = fc.array(part, { minLength: 1, maxLength: 3 }).map((parts) => parts.join('.'));
    fc.assert(
      fc.property(name, fc.array(name, { maxLength: 6 }), (word, others) => {
        for (const found of nearest(word, others, 9)) expect(found.replaceAll('.', '')).toBe(word.replaceAll('.', ''));
      }),
      { seed: 3, numRuns: 2000 },
    );
  });

  test('a very long word costs nothing', () => expect(nearest('x'.repeat(5_000_000), names)).toEqual([]));
});

describe('nearestCode', () => {
  const codes = ['M104', 'M109', 'M140', 'M141', 'M190'];

  test.each([
    ['M1044', ['M104']],
    ['M10', ['M104', 'M109']],
    ['M910', ['M190']],
    // The heat of the bed, of the chamber or of the nozzle: another digit is another thing.
    ['M142', []],
    ['M105', []],
    ['', []],
  ])('%s', (code, expected) => expect(nearestCode(code, codes)).toEqual(expected));
});

import { expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analysed } from '../service/support.ts';

const { machine } = readMachine(
  JSON.stringify({
    name: 'Gannet 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    commands: [
      {
        name: 'call-out',
        meaning: 'Tells people.',
        words: [
          { key: 'tell', meaning: 'what is told', unit: 'text' },
          { key: 'hue', meaning: 'color by name' },
        ],
      },
    ],
  }),
);

it.each([
  // A quoted text for a word that takes one, by its unit; and whatever is a sentence. No word's name counts.
  ['call-out tell:"größer"', false],
  ['swirl about="sehr größer"', false],
  ['call-out tell:größer', true],
  ['call-out hue:"grün"', true],
  ['swirl about="größer"', true],
  ['swirl msg="größer"', true],
])('in %j a character outside ASCII is told: %j', (text, told) => {
  const found = analysed(`G28\n${text}\n`, 'start', machine).findings.some(({ rule }) => rule === 'non-ascii');
  expect(found).toBe(told);
});

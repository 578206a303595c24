import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { isLoud, readFine, rowOf, saidOf } from './fine.ts';

const LIST = new URL('told.txt', import.meta.url);
const UPDATE = process.env.UPDATE === '1' && !process.env.CI;

const { sequences: fine, files } = readFine(fileURLToPath(new URL('fine', import.meta.url)));
const listed = readFileSync(LIST, 'utf8').split('\n').filter(Boolean);
const told = new Set([...files, ...fine.flatMap((one) => saidOf(one).told)].filter(isLoud).map(rowOf));

// Correct texts as practitioners write them (common practice, no source). What is told of them today is listed, so that
// it can only become less.
describe('the corpus of correct sequences', () => {
  it('has at least 150, in every role, for at least 12 machines and for none', () => {
    expect(fine.length).toBeGreaterThanOrEqual(150);
    expect(new Set(fine.map(({ role }) => role))).toEqual(new Set(['start', 'end', 'layer', 'swap', 'pause']));
    expect(new Set(fine.flatMap(({ machine }) => machine?.name ?? [])).size).toBeGreaterThanOrEqual(12);
    expect(fine.some(({ machine }) => machine === null)).toBe(true);
  });

  it('no two are the same', () => {
    const bare = fine.map(({ text }) => text.replace(/;.*$/gm, '').replace(/\s+/g, ' ').trim());
    expect(new Set(bare).size).toBe(fine.length);
  });

  it('nothing is silenced in them', () => expect(fine.filter(({ text }) => /bookend/i.test(text))).toEqual([]));

  it('no error and no warning is told that told.txt does not list', () =>
    expect([...told].filter((row) => !listed.includes(row))).toEqual([]));

  it('told.txt lists nothing that is no longer told (UPDATE=1 takes such lines out, and never puts one in)', () => {
    const still = listed.filter((row) => told.has(row));
    if (UPDATE) writeFileSync(LIST, still.map((row) => `${row}\n`).join(''));
    else expect(still).toEqual(listed);
  });
});

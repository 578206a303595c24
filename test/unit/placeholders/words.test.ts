import { describe, expect, it } from 'vitest';
import { exact, type Known } from '../../../server/src/placeholders/bounds.ts';
import { readExpressions, repetitions, wordNumber } from '../../../server/src/placeholders/tags.ts';
import type { Env } from '../../../server/src/placeholders/value.ts';
import { parse } from '../../../server/src/syntax/parse.ts';

const VALUES: Record<string, ReturnType<Env>> = {
  low: { type: 'number', lo: 2, hi: 4 },
  five: { type: 'number', lo: 5, hi: 5 },
  below: { type: 'number', lo: -3, hi: -1 },
  word: { type: 'text', any: ['7'] },
  some: { type: 'flag', is: null },
  yes: { type: 'flag', is: true },
  list: { type: 'list', length: { lo: 1, hi: 3 }, items: null },
};
const env: Env = (name) => VALUES[name];

/** The number of the first word of a command. */
function number(text: string): Known {
  const tree = parse(text);
  const word = tree.lines[0]?.commands[0]?.words[0];
  if (!word?.value) throw new Error(`no value in ${text}`);
  return wordNumber(word.value, text, readExpressions(tree), env);
}

describe('the number that a word becomes', () => {
  it.each([
    ['G1 X1.5', exact(1.5)],
    ['G1 X{{five}}', exact(5)],
    ['G1 X{{ low }}', { lo: 2, hi: 4 }],
    ['G1 X-{{low}}', { lo: -4, hi: -2 }],
    ['G1 X+{{low}}', { lo: 2, hi: 4 }],
    ['G1 X-{{below}}', null], // "--1" is no number
    ['G1 X1{{five}}', exact(15)],
    ['G1 X{{five}}{{five}}', exact(55)],
    ['G1 X{{five}}.2', exact(5.2)],
    ['G1 X1{{low}}', null], // 12 or 14, and everything between is not meant
    ['G1 X{{word}}', null],
    ['G1 X0{{word}}', exact(7)],
    ['G1 X{{nothing}}', null],
    ['G1 X{{! a note }}5', exact(5)],
    ['G1 X{{#yes}}1{{/yes}}{{^yes}}2{{/yes}}', exact(1)],
    ['G1 X{{#some}}1{{/some}}{{^some}}2{{/some}}', { lo: 1, hi: 2 }],
    ['G1 X{{#some}}1{{/}}0', { lo: 0, hi: 10 }],
    ['G1 X{{#some}}1{{/}}', null], // or nothing at all
    ['G1 X{{#some}}{{low}}{{/}}{{^some}}{{five}}{{/}}', { lo: 2, hi: 5 }],
    ['G1 X{{#list}}1{{/}}', null],
    ['G1 X{{ 1 + }}', null],
  ] as [string, Known][])('%s', (text, wanted) => {
    expect(number(text)).toEqual(wanted);
  });
});

describe('how often a section is filled in (Mustache specification: sections, inverted sections, lists)', () => {
  it.each([
    ['{{#yes}}a{{/}}', 1, 1],
    ['{{^yes}}a{{/}}', 0, 0],
    ['{{#some}}a{{/}}', 0, 1],
    ['{{^some}}a{{/}}', 0, 1],
    ['{{#list}}a{{/}}', 1, 3],
    ['{{^list}}a{{/}}', 0, 0],
    ['{{#five > 4}}a{{/}}', 1, 1],
    ['{{#low > 3}}a{{/}}', 0, 1],
    ['{{#nothing}}a{{/}}', 0, 1],
  ])('%s: %d to %d times', (text, lo, hi) => {
    const tree = parse(text);
    const section = tree.sections[0];
    if (!section) throw new Error(text);
    expect(repetitions(section, readExpressions(tree), env)).toMatchObject({ lo, hi });
  });
});

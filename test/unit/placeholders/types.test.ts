import { describe, expect, it } from 'vitest';
import { parseExpression } from '../../../server/src/placeholders/expression.ts';
import { checkTypes, typePhrase } from '../../../server/src/placeholders/types.ts';
import { readUnit, sameUnit, times, unitPhrase } from '../../../server/src/placeholders/units.ts';
import type { Name } from '../../../server/src/placeholders/vocabulary.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const VOCABULARY = vocabularyFor(null);
const own = (name: string, kind: Name['kind'], unit: string): [string, Name] => [
  name,
  { name, kind, unit, range: null, sample: 1, meaning: name },
];
const OWN = new Map([own('speed', 'number', 'mm/s'), own('factor', 'number', ''), own('on', 'flag', '')]);

const check = (source: string) => {
  const { expr } = parseExpression(source, 100);
  if (!expr) throw new Error(source);
  const { type, problems } = checkTypes(expr, (name) => OWN.get(name) ?? VOCABULARY.names.get(name));
  return { phrase: typePhrase(type), problems };
};

describe('what an expression is', () => {
  it.each([
    ['5', 'a number'],
    ['heat.bed.first', 'a temperature'],
    ['heat.bed.first + 5', 'a temperature'],
    ['5 - heat.bed.first', 'a temperature'],
    ['-heat.bed.first / 2', 'a temperature'],
    ['heat.bed.first * 0.9', 'a temperature'],
    ['max(heat.bed.first, heat.nozzle.first, 60)', 'a temperature'],
    ['round(part.top)', 'a length'],
    ['part.top > 5 ? part.top : 5', 'a length'],
    ['part.left / part.right', 'a plain number'],
    ['part.left * part.top', 'an area'],
    ['part.left * part.top * layer.first', 'a volume'],
    ['part.left * part.top * layer.first / (nozzle.diameter * nozzle.diameter)', 'a length'],
    ['layer.count', 'a count'],
    ['layer.count % 5', 'a count'],
    ['layer.count * layer.height', 'a length'],
    ['layer.count + part.left / part.right', 'a plain number'],
    ['part.top % layer.height', 'a length'],
    // What a number that is written out may convert, is not known any more.
    ['layer.height * 50', 'a number'],
    ['3000 / heat.bed.first', 'a number'],
    ['2.405 * part.top * layer.first', 'a number'],
    ['2 * part.top / layer.first', 'a number'],
    ['part.top * factor', 'a number'],
    ['speed', 'a speed in mm/s'],
    ['speed * 60', 'a number'],
    ['part.top / speed', 'a number in s'],
    ['filament.kind', 'a text'],
    ['filament.kind + 5', 'a text'],
    ['part.top > 5', 'true or false'],
    ['!part.top', 'true or false'],
    ['on || part.top > 5', 'true or false'],
    ['heat.bed.first && part.top', 'a length'],
    ['tools', 'a list'],
    ['no.such', 'something unknown'],
    ['no.such + 1', 'something unknown'],
    ['no.such * 2', 'a number'],
    ['on ? 5 : "five"', 'something unknown'],
  ])('%s is %s, and nothing is wrong with it', (source, wanted) => {
    expect(check(source)).toEqual({ phrase: wanted, problems: [] });
  });
});

describe('what makes no sense', () => {
  it.each([
    ['heat.bed.first + part.top', 0, 25, 'A temperature (heat.bed.first) plus a length (part.top)'],
    ['part.top - layer.count', 0, 22, 'A length (part.top) minus a count'],
    ['1 + heat.bed.first * heat.bed.first', 4, 35, 'A temperature (heat.bed.first) times a temperature'],
    ['part.top * heat.bed.first', 0, 25, 'A length (part.top) times a temperature'],
    ['part.top / heat.bed.first', 0, 25, 'divided by a temperature'],
    ['part.top % heat.bed.first', 0, 25, 'modulo a temperature'],
    ['part.top * part.left + part.top', 0, 31, 'An area plus a length'],
    ['min(part.top, heat.bed.first)', 14, 28, '“min” compares a length with a temperature'],
    ['part.top < heat.bed.first', 0, 25, 'is compared with a temperature'],
    ['filament.kind == 5', 0, 18, 'A text (filament.kind) is compared with a number'],
    ['on == 1', 0, 7, 'True or false (on) is compared with a number'],
    ['on < on', 0, 7, 'both sides are true or false'],
    ['filament.kind * 2', 0, 13, 'A text (filament.kind) stands where “*”'],
    ['-"5"', 1, 4, 'Write numbers without quotes'],
    ['abs(filament.kind)', 4, 17, 'where “abs” takes numbers'],
    ['on + 1', 0, 2, 'condition ? 1 : 0'],
    ['tools + 1', 0, 5, 'A list (tools) stands where “+”'],
    ['"a" + tools', 6, 11, 'A list (tools)'],
    ['tools > 2', 0, 5, 'A list (tools) stands where “>”'],
    ['on ? part.top : heat.bed.first', 0, 30, 'a length (part.top) or a temperature'],
  ])('%s', (source, from, to, message) => {
    const { problems } = check(source);
    expect(problems).toHaveLength(1);
    expect(problems[0]?.span).toEqual({ start: 100 + from, end: 100 + to });
    expect(problems[0]?.message).toContain(message);
    expect(problems[0]?.message).toMatch(/^[A-Z“].*\.$/);
  });

  it('is told once, however long the chain that it stands in', () => {
    const chain = `heat.bed.first + part.top${' + 1 + part.left'.repeat(100)}`;
    expect(check(chain).problems).toHaveLength(1);
  });
});

describe('units', () => {
  it.each([
    ['mm/s2', 'a number in mm/s2'],
    ['mm²', 'an area'],
    ['mm3', 'a volume'],
    ['in', 'a length in in'],
    ['°C', 'a temperature'],
    ['mm/min', 'a speed in mm/min'],
    ['%', 'a plain number'],
  ])('%s is %s', (text, wanted) => {
    const unit = readUnit(text);
    expect(unit && unitPhrase(unit)).toBe(wanted);
  });

  it.each(['', 'mm above the bed', 'thing', '/', 'constructor', '__proto__'])('“%s” is no unit', (text) => {
    expect(readUnit(text)).toBeNull();
  });

  it('a product divided by one factor is the other', () => {
    for (const a of ['mm', 's', 'mm/s', 'mm2', '%'])
      for (const b of ['mm', 's', 'mm/s', 'mm3', '%']) {
        const [one, other] = [readUnit(a), readUnit(b)];
        if (!one || !other) throw new Error(`${a} ${b}`);
        expect(sameUnit(times(times(one, other, 1), other, -1), one), `${a} ${b}`).toBe(true);
      }
  });
});
